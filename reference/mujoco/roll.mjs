// Loads MJCF files as they are, lets each settle on the level, then turns gravity so that the ground falls away ahead, and lets it roll on its free wheels.
// Question on standard input: {files, settle, slope, from, to}: times in s, from and to since the turn; slope in degrees. Answer: {version, rigs: [{chassis, turn,
// speed, gained, seconds}]}: chassis (mm) and its turn after settling, speed then (mm/s), and the speed along x that the chassis gained between from and to.
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
  // The file gives every wheel a little drag at its hinge, so that a rig that is looked at does not roll for ever; here it would be what is compared.
  for (let i = 0; i < m.nv; i++) if (Math.abs(m.dof_damping[i] - 0.0002) < 1e-9) m.dof_damping[i] = 0;
  const run = (until) => {
    while (d.time < until) mujoco.mj_step(m, d);
  };
  run(q.settle);
  mujoco.mj_forward(m, d);
  const out = {
    chassis: [...d.xpos.slice(3 * chassis, 3 * chassis + 3)].map((x) => x * 1000),
    turn: [...d.xmat.slice(9 * chassis, 9 * chassis + 9)],
    speed: Math.hypot(...[...d.qvel.slice(0, 3)]) * 1000,
  };
  const g = 9.80665;
  const a = (q.slope * Math.PI) / 180;
  m.opt.gravity[0] = g * Math.sin(a);
  m.opt.gravity[2] = -g * Math.cos(a);
  const start = d.time;
  run(start + q.from);
  const v = d.qvel[0];
  const t = d.time;
  run(start + q.to);
  out.gained = (d.qvel[0] - v) * 1000;
  out.seconds = d.time - t;
  d.delete();
  m.delete();
  return out;
});
process.stdout.write(JSON.stringify({ version: mujoco.mj_versionString(), rigs }) + "\n");
