// Loads MJCF files as they are and lets each settle. Question on standard input: {files, still, slippery}: still is how slow the chassis must be at the end,
// mm/s. Answer: {version, rigs: [{mass, center, chassis, turn, landed, speed, time, bodies, gap}]}: center of mass as loaded, chassis frame and where it is
// at rest, mm; gap is the most that a link is open then. With slippery wheels nothing holds the rig from finding its lowest place.
import { readFileSync } from "node:fs";
import load from "mujoco-js";

const q = JSON.parse(readFileSync(0, "utf8"));
const mujoco = await load();
mujoco.FS.mkdir("/model");
mujoco.FS.mount(mujoco.MEMFS, { root: "." }, "/model");
const rigs = q.files.map((file, n) => {
  mujoco.FS.writeFile(`/model/${n}.xml`, readFileSync(file));
  const m = mujoco.MjModel.loadFromXML(`/model/${n}.xml`);
  const d = new mujoco.MjData(m);
  const chassis = mujoco.mj_name2id(m, mujoco.mjtObj.mjOBJ_BODY.value, "chassis");
  const mm = (list, k) => [...list.slice(3 * k, 3 * k + 3)].map((x) => x * 1000);
  mujoco.mj_forward(m, d);
  const loaded = mm(d.xpos, chassis);
  let mass = 0;
  const sum = [0, 0, 0];
  for (let i = 1; i < m.nbody; i++) {
    mass += m.body_mass[i];
    for (let k = 0; k < 3; k++) sum[k] += m.body_mass[i] * d.xipos[3 * i + k] * 1000;
  }
  const center = sum.map((x, k) => x / mass - loaded[k]);
  if (q.slippery) for (let i = 0; i < m.ngeom; i++) m.geom_friction[3 * i] = 1e-4;
  let speed = 1e9;
  let steps = 0;
  while (steps < 60000 && !(speed < q.still && steps > 2000)) {
    for (let i = 0; i < 500; i++, steps++) mujoco.mj_step(m, d);
    speed = Math.hypot(...[...d.qvel.slice(0, 3)]) * 1000;
  }
  mujoco.mj_forward(m, d);
  // Of all constraints those of the links come first (MuJoCo documentation, Computation: equality, friction, limit, contact).
  const gap = Math.max(0, ...[...d.efc_pos.slice(0, d.ne)].map(Math.abs)) * 1000;
  const out = {
    mass,
    center,
    chassis: mm(d.xpos, chassis),
    turn: [...d.xmat.slice(9 * chassis, 9 * chassis + 9)],
    speed,
    time: steps * m.opt.timestep,
    bodies: m.nbody - 1,
    gap,
  };
  d.delete();
  m.delete();
  return out;
});
process.stdout.write(JSON.stringify({ version: mujoco.mj_versionString(), rigs }) + "\n");
