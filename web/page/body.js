// The printed body in three dimensions, to be turned and cut open. What draws
// it is loaded when it is first wanted.
import { ask, post } from './api.js';
import { $, guarded, make, showCommand } from './dom.js';
import { on, source, state, unsaved } from './state.js';
import { onUnits } from './units.js';

// Okabe and Ito's colours, to be told apart with any common colour vision.
const colours = ['#56B4E9', '#E69F00', '#009E73', '#CC79A7', '#F0E442', '#0072B2', '#D55E00'];
let view = null;
let of = null; // the design that it shows

$('body-start').addEventListener('click', guarded(async () => {
  $('body-state').textContent = 'Working the surfaces out…';
  try {
    const asked = source();
    const [three, body] = await Promise.all([import('./three.js'), post('api/body', asked)]);
    of = asked;
    $('body-view').hidden = false;
    view ||= new View(three, $('scene'));
    view.show(body);
    $('parts').replaceChildren(...body.parts.map((p, i) => {
      const box = make('input', { type: 'checkbox', checked: p.in_place });
      box.addEventListener('change', () => view.arrange());
      view.parts[i].box = box;
      return make('label', { className: 'check' }, box, ' ', swatch(colours[i % colours.length]), p.label);
    }));
    view.arrange();
    words(body);
    $('body-state').textContent = `${body.design}, revision ${body.revision}: ${body.parts.length} ${body.parts.length === 1 ? 'part' : 'parts'}.`;
  } catch (error) {
    $('body-state').textContent = '';
    throw error;
  }
}));

function words(body) {
  $('body-text').textContent = body.text;
  showCommand($('body-command'), body.command, unsaved());
}
onUnits(guarded(async () => {
  if (of && !$('body-view').hidden) words(await post('api/body', of));
}));

function swatch(colour) {
  const ns = 'http://www.w3.org/2000/svg';
  const svg = document.createElementNS(ns, 'svg');
  svg.setAttribute('viewBox', '0 0 10 10');
  svg.setAttribute('aria-hidden', 'true');
  const box = document.createElementNS(ns, 'rect');
  for (const [k, v] of Object.entries({ width: 10, height: 10, fill: colour, stroke: '#555' })) box.setAttribute(k, v);
  svg.append(box);
  return svg;
}

$('get-3mf').addEventListener('click', guarded(async () => {
  $('body-state').textContent = 'Making the file…';
  try {
    const file = await ask('POST', 'api/parts.3mf', source());
    const link = make('a', { href: URL.createObjectURL(file), download: (state.answer?.design || 'parts').replace(/[^A-Za-z0-9]+/g, '-') + '.3mf' });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    $('body-state').textContent = `The 3MF file holds all parts in their printing position (${Math.round(file.size / 1024)} kB).`;
  } catch (error) {
    $('body-state').textContent = '';
    throw error;
  }
}));
on('design', () => {
  $('body-view').hidden = true;
  $('body-state').textContent = '';
});
for (const id of ['cut', 'cut-at', 'apart']) $(id).addEventListener('input', () => view?.arrange());
document.addEventListener('look', () => view?.draw());

class View {
  constructor(three, canvas) {
    this.three = three;
    this.canvas = canvas;
    this.renderer = new three.WebGLRenderer({ canvas, antialias: true, stencil: true, alpha: true });
    this.renderer.localClippingEnabled = true;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.scene = new three.Scene();
    this.scene.add(new three.HemisphereLight(0xffffff, 0x889099, 2.2));
    const sun = new three.DirectionalLight(0xffffff, 1.6);
    sun.position.set(-1, -2, 3);
    this.scene.add(sun);
    this.camera = new three.PerspectiveCamera(32, 1, 1, 5000);
    this.camera.up.set(0, 0, 1);
    this.controls = new three.OrbitControls(this.camera, canvas);
    this.controls.addEventListener('change', () => this.draw());
    this.plane = new three.Plane(new three.Vector3(0, 1, 0), 0); // keeps what lies behind the cut
    canvas.addEventListener('keydown', (e) => this.key(e));
    new ResizeObserver(() => this.draw()).observe(canvas.parentElement);
  }

  show(body) {
    if (this.parts) {
      for (const p of this.parts) this.scene.remove(p.group);
    }
    this.parts = body.parts.map((p, i) => this.part(p, colours[i % colours.length], i));
    let size = 0;
    for (const p of body.parts) for (const x of p.vertices_mm) size = Math.max(size, Math.abs(x));
    this.size = size;
    this.controls.target.set(0, 0, 500 * body.height_m);
    this.camera.position.set(0.7 * size, -2.9 * size, 1.9 * size);
    this.controls.update();
    $('cut-at').max = Math.ceil(size);
    $('cut-at').min = -Math.ceil(size);
    $('cut-at').value = 0;
  }

  // A part: its surface, and a lid on the cut. The lid shows where more back
  // faces than front faces lie behind the cut, that is inside the part.
  part(p, colour, order) {
    const t = this.three;
    const geometry = new t.BufferGeometry();
    const corners = new Float32Array(9 * (p.triangles.length / 3));
    p.triangles.forEach((v, i) => corners.set(p.vertices_mm.slice(3 * v, 3 * v + 3), 3 * i));
    geometry.setAttribute('position', new t.BufferAttribute(corners, 3));
    geometry.computeVertexNormals(); // each triangle has corners of its own: flat faces
    const group = new t.Group();
    const surface = new t.Mesh(geometry, new t.MeshLambertMaterial({ color: colour, clippingPlanes: [this.plane] }));
    surface.renderOrder = 3 * order + 3;
    group.add(surface);
    const count = [];
    for (const [side, op] of [[t.BackSide, t.IncrementWrapStencilOp], [t.FrontSide, t.DecrementWrapStencilOp]]) {
      const m = new t.MeshBasicMaterial({ side, clippingPlanes: [this.plane], depthWrite: false, depthTest: false, colorWrite: false, stencilWrite: true, stencilFunc: t.AlwaysStencilFunc, stencilFail: op, stencilZFail: op, stencilZPass: op });
      const mesh = new t.Mesh(geometry, m);
      mesh.renderOrder = 3 * order + 1;
      group.add(mesh);
      count.push(mesh);
    }
    const lid = new t.Mesh(new t.PlaneGeometry(1, 1), new t.MeshBasicMaterial({ color: new t.Color(colour).multiplyScalar(0.55), side: t.DoubleSide, stencilWrite: true, stencilRef: 0, stencilFunc: t.NotEqualStencilFunc, stencilFail: t.ReplaceStencilOp, stencilZFail: t.ReplaceStencilOp, stencilZPass: t.ReplaceStencilOp }));
    lid.rotation.x = Math.PI / 2;
    lid.renderOrder = 3 * order + 2;
    lid.onAfterRender = (r) => r.clearStencil();
    group.add(lid);
    this.scene.add(group);
    return { group, lid, count, lift: 1000 * p.lift_m, order };
  }

  arrange() {
    if (!this.parts) return;
    const cut = $('cut').checked;
    const at = Number($('cut-at').value);
    this.plane.constant = cut ? -at : 1e6;
    for (const p of this.parts) {
      p.group.position.z = p.lift + p.order * Number($('apart').value) * 0.6;
      p.group.visible = !p.box || p.box.checked;
      p.lid.visible = cut;
      p.lid.scale.set(4 * this.size, 4 * this.size, 1);
      p.lid.position.set(0, at, 0);
    }
    this.draw();
  }

  key(e) {
    const t = this.three;
    const offset = this.camera.position.clone().sub(this.controls.target);
    const turn = { ArrowLeft: -0.1, ArrowRight: 0.1 }[e.key];
    const tilt = { ArrowUp: 0.1, ArrowDown: -0.1 }[e.key];
    const zoom = { '+': 0.9, '=': 0.9, '-': 1.1 }[e.key];
    if (turn === undefined && tilt === undefined && zoom === undefined) return;
    e.preventDefault();
    if (turn) offset.applyAxisAngle(new t.Vector3(0, 0, 1), turn);
    if (tilt) {
      const level = Math.atan2(offset.z, Math.hypot(offset.x, offset.y)) + tilt;
      const [r, around] = [offset.length(), Math.atan2(offset.y, offset.x)];
      const l = Math.max(-1.5, Math.min(1.5, level));
      offset.set(r * Math.cos(l) * Math.cos(around), r * Math.cos(l) * Math.sin(around), r * Math.sin(l));
    }
    if (zoom) offset.multiplyScalar(zoom);
    this.camera.position.copy(this.controls.target).add(offset);
    this.controls.update();
    this.draw();
  }

  draw() {
    const { clientWidth: w, clientHeight: h } = this.canvas.parentElement;
    if (!w || !h) return;
    this.renderer.setSize(w, h, false);
    this.camera.aspect = w / h;
    // On a narrow screen the width, not the height, must hold the body.
    this.camera.fov = (360 / Math.PI) * Math.atan(Math.tan((16 * Math.PI) / 180) / Math.min(1, (0.88 * w) / h));
    this.camera.updateProjectionMatrix();
    this.renderer.render(this.scene, this.camera);
  }
}
