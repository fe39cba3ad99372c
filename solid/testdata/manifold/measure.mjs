// Reads meshes from standard input and lets manifold-3d, an independent library
// of exact solid modelling, say whether each is a solid, its volume and its
// genus. For the tests of package solid; MELTSPAN_MANIFOLD names the folder with
// node_modules.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const { default: load } = await import(
  pathToFileURL(process.env.MELTSPAN_MANIFOLD + "/node_modules/manifold-3d/manifold.js"));
const { Manifold, Mesh } = await load().then((w) => (w.setup(), w));

const answers = JSON.parse(readFileSync(0, "utf8")).map(({ vertices, triangles }) => {
  const mesh = new Mesh({
    numProp: 3,
    vertProperties: Float32Array.from(vertices),
    triVerts: Uint32Array.from(triangles),
  });
  const solid = new Manifold(mesh);
  const parts = solid.decompose();
  return {
    status: String(solid.status()),
    volume: solid.volume(),
    area: solid.surfaceArea(),
    genus: solid.genus(),
    triangles: solid.numTri(),
    parts: parts.length,
  };
});
console.log(JSON.stringify(answers));
