// The part of three.js that the body view uses.
export { WebGLRenderer, Scene, PerspectiveCamera, BufferGeometry, BufferAttribute, Mesh, MeshLambertMaterial, MeshBasicMaterial, HemisphereLight, DirectionalLight, Plane, PlaneGeometry, Vector3, Color, Group, DoubleSide, BackSide, FrontSide, AlwaysStencilFunc, NotEqualStencilFunc, KeepStencilOp, ReplaceStencilOp, IncrementWrapStencilOp, DecrementWrapStencilOp } from 'three';
export { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
