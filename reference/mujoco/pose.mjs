// Poses of an axle on its links by MuJoCo, a general multibody program: the axle a free body, each link a rigid body on a ball joint
// at its chassis eye whose far end is held to the axle's eye, each wheel centre held at a height by a pad that slides level. Nothing has
// weight and every joint drags, so that the bodies creep to where all constraints hold and stay there.
//
// Question on standard input: {chassis, axle: points of the eyes, length: eye to eye, near: where the axle starts, half: wheel centre's y,
// poses: [[height of the axle origin, roll, rad]…]}, mm. Answer on standard output: {version, poses: [{origin, turn, gap, speed, steps}]}.
import { readFileSync } from "node:fs";
import load from "mujoco-js";

const scale = 0.01; // of the model: sizes near 1 suit the program's tolerances
const q = JSON.parse(readFileSync(0, "utf8"));
const mujoco = await load();
mujoco.FS.mkdir("/model");
mujoco.FS.mount(mujoco.MEMFS, { root: "." }, "/model");

const text = (v) => v.map((x) => (x * scale).toPrecision(17)).join(" ");
const minus = (a, b) => a.map((x, i) => x - b[i]);
const size = (a) => Math.hypot(...a);

// A turn that takes x̂ to the direction d, as a quaternion.
function along(d) {
  const n = size(d);
  const [x, y, z] = d.map((v) => v / n);
  if (x < -0.999999) return "0 0 1 0";
  const w = Math.sqrt((1 + x) / 2);
  return [w, 0, -z / (2 * w), y / (2 * w)].join(" ");
}

function model() {
  const links = q.chassis.map((c, i) => {
    const d = minus(q.axle[i].map((v, k) => v + q.near[k]), c);
    return `<body pos="${text(c)}" quat="${along(d)}">
      <joint type="ball" damping="0.02"/>
      <inertial pos="${text([q.length[i] / 2, 0, 0])}" mass="0.05" diaginertia="0.01 0.01 0.01"/>
      <site name="end${i}" pos="${text([q.length[i], 0, 0])}"/></body>`;
  });
  const pads = [1, -1].map(
    (s, i) => `<body pos="${text([q.near[0], q.near[1] + s * q.half, 0])}">
      <joint type="slide" axis="1 0 0" damping="0.2"/><joint type="slide" axis="0 1 0" damping="0.2"/>
      <joint name="height${i}" type="slide" axis="0 0 1" damping="0.2"/>
      <inertial pos="0 0 0" mass="0.05" diaginertia="0.01 0.01 0.01"/><site name="pad${i}"/></body>`,
  );
  return `<mujoco>
    <option timestep="0.01" gravity="0 0 0" integrator="implicitfast" solver="Newton" iterations="100" tolerance="1e-15">
      <flag contact="disable"/></option>
    <default><equality solref="0.02 1" solimp="0.95 0.95 0.001"/></default>
    <worldbody>
      <body name="axle" pos="${text(q.near)}"><joint type="free" damping="0.2"/>
        <inertial pos="0 0 0" mass="1" diaginertia="0.5 0.5 0.5"/>
        ${q.axle.map((a, i) => `<site name="eye${i}" pos="${text(a)}"/>`).join("")}
        <site name="wheel0" pos="${text([0, q.half, 0])}"/><site name="wheel1" pos="${text([0, -q.half, 0])}"/></body>
      ${links.join("")}${pads.join("")}
    </worldbody>
    <equality>
      <joint joint1="height0"/><joint joint1="height1"/>
      <connect site1="wheel0" site2="pad0"/><connect site1="wheel1" site2="pad1"/>
      ${q.axle.map((_, i) => `<connect site1="eye${i}" site2="end${i}"/>`).join("")}
    </equality>
  </mujoco>`;
}

mujoco.FS.writeFile("/model/axle.xml", model());
const m = mujoco.MjModel.loadFromXML("/model/axle.xml");
const d = new mujoco.MjData(m);
const number = m.eq_data.length / m.neq; // numbers per constraint; the first of a joint's is the value it is held at

// Both wheels to their heights in small steps, then rest: still, and no constraint open.
let left = q.near[2];
let right = q.near[2];
function to(z, roll) {
  const l = z + q.half * Math.sin(roll);
  const r = z - q.half * Math.sin(roll);
  const parts = Math.ceil(Math.max(Math.abs(l - left), Math.abs(r - right), 1) / 0.5);
  let steps = 0;
  for (let n = 1; n <= parts; n++) {
    m.eq_data[0] = (left + ((l - left) * n) / parts) * scale;
    m.eq_data[number] = (right + ((r - right) * n) / parts) * scale;
    for (let i = 0; i < 10; i++, steps++) mujoco.mj_step(m, d);
  }
  [left, right] = [l, r];
  let speed = 1;
  let gap = 1;
  while ((speed > 1e-11 || gap > 1e-11) && steps < 40000) {
    mujoco.mj_step(m, d);
    steps++;
    speed = Math.max(...d.qvel.map(Math.abs));
    gap = Math.max(...d.efc_pos.map(Math.abs));
  }
  mujoco.mj_forward(m, d);
  return {
    origin: [...d.xpos.slice(3, 6)].map((x) => x / scale),
    turn: [...d.xmat.slice(9, 18)],
    gap: Math.max(...d.efc_pos.map(Math.abs)) / scale,
    speed: speed / scale,
    steps,
  };
}

const poses = q.poses.map(([z, roll]) => to(z, roll));
process.stdout.write(JSON.stringify({ version: mujoco.mj_versionString(), poses }) + "\n");
