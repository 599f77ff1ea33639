// Weighs STL files by MuJoCo: it takes a mesh as a solid of even density, refuses one whose faces do not close around a volume the right way
// round, and works out weight and centre. Question on standard input: file names as JSON, coordinates in mm. Answer: {version, meshes: [{volume, at}]},
// mm³ and mm.
import { readFileSync } from "node:fs";
import load from "mujoco-js";

const scale = 0.01; // a length of 1 is 100 mm
const mujoco = await load();
mujoco.FS.mkdir("/model");
mujoco.FS.mount(mujoco.MEMFS, { root: "." }, "/model");
const meshes = JSON.parse(readFileSync(0, "utf8")).map((name, i) => {
  mujoco.FS.writeFile(`/model/it${i}.stl`, readFileSync(name));
  mujoco.FS.writeFile(
    "/model/it.xml",
    `<mujoco><compiler boundmass="0" boundinertia="0"/><asset><mesh name="it" file="it${i}.stl" scale="${scale} ${scale} ${scale}" inertia="exact"/></asset>
     <worldbody><body><freejoint/><geom type="mesh" mesh="it" density="1000"/></body></worldbody></mujoco>`,
  );
  const m = mujoco.MjModel.loadFromXML("/model/it.xml");
  const out = { volume: m.body_mass[1] / 1000 / scale ** 3, at: [...m.body_ipos.slice(3, 6)].map((x) => x / scale) };
  m.delete();
  return out;
});
process.stdout.write(JSON.stringify({ version: mujoco.mj_versionString(), meshes }) + "\n");
