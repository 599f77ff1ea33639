// Reads binary glTF files twice: with the Khronos validator, which tells every breach of the specification, and with three's GLTFLoader, which builds
// the scene. Question on standard input: file names as JSON. Answer: for each {errors, warnings, infos, messages, version, nodes: {name: {lo, hi, triangles}}},
// boxes of each node with its own mesh in the world, m.
import { readFileSync } from "node:fs";
import validator from "gltf-validator";
import { Box3, Mesh, Vector3 } from "three";
import { GLTFLoader } from "three/examples/jsm/loaders/GLTFLoader.js";

globalThis.self ??= globalThis;
const out = [];
for (const name of JSON.parse(readFileSync(0, "utf8"))) {
  const data = readFileSync(name);
  const report = await validator.validateBytes(new Uint8Array(data));
  const scene = await new Promise((ok, fail) =>
    new GLTFLoader().parse(data.buffer.slice(data.byteOffset, data.byteOffset + data.length), "", (g) => ok(g.scene), fail),
  );
  scene.updateMatrixWorld(true);
  const nodes = {};
  scene.traverse((o) => {
    if (!(o instanceof Mesh)) return;
    const at = o.geometry.getAttribute("position");
    const world = new Box3();
    for (let i = 0; i < at.count; i++) world.expandByPoint(new Vector3().fromBufferAttribute(at, i).applyMatrix4(o.matrixWorld));
    nodes[o.userData.name ?? o.name] = { lo: world.min.toArray(), hi: world.max.toArray(), triangles: o.geometry.index.count / 3, kind: o.userData.kind ?? "" };
  });
  out.push({
    errors: report.issues.numErrors,
    warnings: report.issues.numWarnings,
    infos: report.issues.numInfos,
    messages: report.issues.messages.slice(0, 5).map((m) => `${m.code}: ${m.message} ${m.pointer}`),
    version: report.validatorVersion,
    nodes,
  });
}
process.stdout.write(JSON.stringify(out) + "\n");
