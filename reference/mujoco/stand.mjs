// A whole rig at rest on the ground by MuJoCo, a general multibody program: chassis and axles are free bodies, every link a rigid bar with
// its own weight, on two hinges at its chassis eye and with its far end held to the axle's eye; shocks are springs between sites; wheels are
// balls on the program's own contacts, grippy sideways and slippery fore and aft. Everything drags, so that it creeps to rest. Constraints and
// contacts of this program are springs; each case is tried with every time constant in soft, s.
//
// Question on standard input: {chassis: {mass, at}, axles: [{at, mass, center, wheels: [left, right], radius}], links: [{axle, from, to, length,
// mass}], shocks: [{axle, top, bottom, rate, free}], hung: [{link, along, rise, mass}], cases: [{pull, raised}], soft: […], still},
// mm, kg, N/mm, pull in N/kg; still is how much a load may still move, N. An
// end of a shock is {on: "chassis" | "axle" | link's number, at: [x, y, z]}, on a link [along, 0, rise]. raised are the heights of the ground under
// the four wheels. Answer: {version, cases: [[{chassis, axles: {origin, turn}, loads, gap, moved, steps}]]}, in the frame of the ground.
import { readFileSync } from "node:fs";
import load from "mujoco-js";

const scale = 0.01; // of the model: a length of 1 is 100 mm, a force of 1 is 0.1 N
const q = JSON.parse(readFileSync(0, "utf8"));
const mujoco = await load();
mujoco.FS.mkdir("/model");
mujoco.FS.mount(mujoco.MEMFS, { root: "." }, "/model");

const text = (v) => v.map((x) => (x * scale).toPrecision(17)).join(" ");
const plus = (a, b) => a.map((x, i) => x + b[i]);
const minus = (a, b) => a.map((x, i) => x - b[i]);
const height = 150; // of the chassis frame above the ground at the start, mm

// How far a link is turned about z, then about y, to point along d from its x axis.
function turned(d) {
  const yaw = Math.atan2(d[1], d[0]);
  const pitch = -Math.atan2(d[2], Math.hypot(d[0], d[1]));
  return [yaw, pitch];
}
// Quaternion of Rz(yaw)·Ry(pitch).
function quat([yaw, pitch]) {
  const [c, s, k, t] = [Math.cos(yaw / 2), Math.sin(yaw / 2), Math.cos(pitch / 2), Math.sin(pitch / 2)];
  return [c * k, -s * t, c * t, s * k].join(" ");
}

function model(raised, soft) {
  const sites = { chassis: [], axles: [[], []], links: q.links.map(() => []) };
  const tendons = q.shocks.map((s, i) => {
    for (const [end, e] of [["top", s.top], ["bottom", s.bottom]]) {
      const site = `<site name="${end}${i}" pos="${text(e.at)}"/>`;
      if (e.on === "chassis") sites.chassis.push(site);
      else if (e.on === "axle") sites.axles[s.axle].push(site);
      else sites.links[e.on].push(site);
    }
    return `<spatial stiffness="${s.rate * 1000}" springlength="${s.free * scale}" damping="30"><site site="top${i}"/><site site="bottom${i}"/></spatial>`;
  });
  // Weight and centre are what they are; how hard a body is to turn does not matter at rest, and evens out the way there.
  const weight = (list, turn) => {
    const mass = list.reduce((sum, w) => sum + w.mass, 0);
    const at = [0, 1, 2].map((k) => list.reduce((sum, w) => sum + (w.mass * w.at[k]) / mass, 0));
    return `<inertial pos="${text(at)}" mass="${mass}" diaginertia="${turn} ${turn} ${turn}"/>`;
  };
  const links = q.links.map((l, i) => {
    const to = plus(l.to, q.axles[l.axle].at);
    const t = turned(minus(to, l.from));
    // Joints act in their order: about z of the chassis first, then about y as turned. The body frame is the link's.
    const [c, s] = [Math.cos(t[1]), Math.sin(t[1])];
    const hung = q.hung.filter((h) => h.link === i).map((h) => ({ mass: h.mass, at: [h.along, 0, h.rise] }));
    return `<body pos="${text(l.from)}" quat="${quat(t)}">
      <joint type="hinge" axis="${-s} 0 ${c}" damping="0.5"/><joint type="hinge" axis="0 1 0" damping="0.5"/>
      ${weight([{ mass: l.mass, at: [l.length / 2, 0, 0] }, ...hung], 0.01)}
      <site name="end${i}" pos="${text([l.length, 0, 0])}"/>${sites.links[i].join("")}</body>`;
  });
  const axles = q.axles.map((a, i) => {
    const own = q.links.map((l, k) => (l.axle === i ? `<site name="eye${k}" pos="${text(l.to)}"/>` : "")).join("");
    const wheels = a.wheels.map((w, k) => {
      const n = 2 * i + k;
      return `<geom name="wheel${n}" type="sphere" size="${a.radius * scale}" pos="${text(w)}" mass="0" contype="0" conaffinity="0"/>
        <site name="feel${n}" type="sphere" size="${a.radius * scale * 1.2}" pos="${text(w)}"/>`;
    });
    return `<body name="axle${i}" pos="${text(plus(a.at, [0, 0, height]))}"><joint type="free" damping="2"/>
      ${weight([{ mass: a.mass, at: a.center }], 0.3)}${own}${wheels.join("")}${sites.axles[i].join("")}</body>`;
  });
  const ground = raised.map(
    (h, i) => `<geom name="ground${i}" type="plane" pos="0 0 ${h * scale}" size="50 50 1" contype="0" conaffinity="0"/>`,
  );
  return `<mujoco>
    <option timestep="0.00025" gravity="0 0 -98.0665" integrator="implicitfast" solver="Newton" cone="elliptic" impratio="10" iterations="100" tolerance="1e-14"/>
    <default><equality solref="${soft} 1" solimp="0.99 0.99 0.001"/></default>
    <worldbody>${ground.join("")}
      <body name="chassis" pos="${text([0, 0, height])}"><joint type="free" damping="2"/>
        ${weight([q.chassis], 1)}${sites.chassis.join("")}
        ${links.join("")}</body>${axles.join("")}
    </worldbody>
    <contact>${raised.map((_, i) => `<pair geom1="ground${i}" geom2="wheel${i}" condim="3" friction="3 0.0005 0 0 0" solref="${soft} 1" solimp="0.99 0.99 0.001"/>`).join("")}</contact>
    <tendon>${tendons.join("")}</tendon>
    <equality>${q.links.map((_, i) => `<connect site1="eye${i}" site2="end${i}"/>`).join("")}</equality>
    <sensor>${raised.map((_, i) => `<touch site="feel${i}"/>`).join("")}</sensor>
  </mujoco>`;
}

function rest(c, soft) {
  mujoco.FS.writeFile("/model/rig.xml", model(c.raised, soft));
  const m = mujoco.MjModel.loadFromXML("/model/rig.xml");
  const d = new mujoco.MjData(m);
  const g = m.opt.gravity;
  let steps = 0;
  const walk = (n) => {
    for (let i = 0; i < n; i++, steps++) mujoco.mj_step(m, d);
  };
  // Down on the ground, then the board is turned.
  walk(4000);
  for (let k = 1; k <= 40; k++) {
    const f = k / 40;
    const down = [0, 0, -9.80665];
    for (let i = 0; i < 3; i++) g[i] = 10 * (down[i] + f * (c.pull[i] - down[i]));
    walk(100);
  }
  // Rest is when no load moves any more: sideways every contact of this program creeps a little for ever.
  let loads = [0, 0, 0, 0];
  let moved = 1;
  while (moved > q.still && steps < 100000) {
    walk(2000);
    const now = [...d.sensordata.slice(0, 4)].map((x) => x / 10);
    moved = Math.max(...now.map((x, i) => Math.abs(x - loads[i])));
    loads = now;
  }
  mujoco.mj_forward(m, d);
  const place = (name) => {
    const id = mujoco.mj_name2id(m, mujoco.mjtObj.mjOBJ_BODY.value, name);
    return { origin: [...d.xpos.slice(3 * id, 3 * id + 3)].map((x) => x / scale), turn: [...d.xmat.slice(9 * id, 9 * id + 9)] };
  };
  const out = {
    chassis: place("chassis"),
    axles: [place("axle0"), place("axle1")],
    loads,
    gap: Math.max(...[...d.efc_pos].map(Math.abs)) / scale,
    moved,
    steps,
  };
  d.delete();
  m.delete();
  return out;
}

const cases = q.cases.map((c) => q.soft.map((s) => rest(c, s)));
process.stdout.write(JSON.stringify({ version: mujoco.mj_versionString(), cases }) + "\n");
