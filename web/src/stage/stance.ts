import {
  BoxGeometry,
  BufferGeometry,
  EdgesGeometry,
  ExtrudeGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  MeshLambertMaterial,
  Quaternion,
  Shape as Outline,
  Vector3,
} from 'three';
import type { Axles, RidePose, RidePoseWheel, RideRidge } from '$lib/api/types';
import type { Look } from '$lib/state/settings.svelte';
import { bearing, wheels, type Row } from '$lib/state/rows';
import type { Label } from './labels';
import { ink } from './look';
import { line, plumbMarks, wheelCentre } from './marks';
import { toVec } from './moving';
import { placement } from './shapes';

/** The rig at rest on its springs, as the program answered it, with what is to be written about it. */
export interface Posed {
  row: Row & { pose: RidePose };
  home: number[]; // chassis origin at the level stance: what the picture is centred on
  level: boolean; // on level ground: sags are written at the shocks
  tilted: boolean; // on a board that is drawn, and tilted
  ridge: RideRidge | null; // under the belly, when it is to be seen
  words: { load: (newton: number) => string; sag: (mm: number, share: number | null) => string };
}

/** Axles as the stage draws them, in the places of the pose, with instant centre and roll axis there. What belongs to the design pose only is left out. */
export function posedAxles(axles: Axles, pose: RidePose): Axles {
  const one = (end: 'front' | 'rear'): Axles['front'] => ({
    ...axles[end],
    origin_mm: pose[end].origin_mm,
    turn: pose[end].turn,
    shocks: pose[end].shocks.map((s) => ({ ...s, stroke_left_mm: null, droop_left_mm: null })),
    pose: null,
    rates: null,
    instant_center_mm: pose[end].instant_center_mm,
    roll_axis: pose[end].roll_axis,
  });
  return { front: one('front'), rear: one('rear') };
}

/** Chassis frame to the frame of the board, moved aside so that the level stance stands where the design pose does. */
export function posedFrame(pose: RidePose, home: number[]): Matrix4 {
  return shift(home).multiply(placement(pose.origin_mm, pose.turn));
}

const shift = (home: number[]): Matrix4 => new Matrix4().makeTranslation(-(home[0] ?? 0), -(home[1] ?? 0), 0);

/** The board turned so that what is against gravity points up on the screen. */
export function boardFrame(pose: RidePose): Matrix4 {
  return new Matrix4().makeRotationFromQuaternion(
    new Quaternion().setFromUnitVectors(toVec(pose.up).normalize(), new Vector3(0, 0, 1)),
  );
}

const half = { x: 235, y: 175 }; // mm: of the board that is drawn
const thick = 8;

/** What the wheels stand on other than the level: the board as a plate, a ramp, blocks; and the plumb line. Frame of the board. */
export function groundMarks(p: Posed, axles: Axles, look: Look): Group {
  const out = new Group();
  const { pose } = p.row;
  const at = shift(p.home);
  if (p.tilted) {
    const plate = solid(new BoxGeometry(2 * half.x, 2 * half.y, thick).translate(0, 0, -thick / 2 - 0.5), look);
    out.add(...plate);
  }
  for (const w of wheels) {
    const under = pose[w.end][w.side];
    const raised = raise(under, axles[w.end].tyre_width_mm || 40);
    if (raised) out.add(...solid(raised.applyMatrix4(at), look));
  }
  if (p.ridge) out.add(...solid(ridgeUnder(p.ridge).applyMatrix4(at), look));
  out.add(plumbMarks(toVec(pose.center_of_mass_mm).applyMatrix4(at), toVec(pose.up), look));
  if (p.tilted) out.add(wedgeUnder(toVec(pose.up), look));
  return out;
}

/** The level through the board's lower edge, and what props the board up: dashed, so that its angle can be seen. */
function wedgeUnder(up: Vector3, look: Look): Group {
  const g = new Group();
  const down = up.clone().setZ(0).negate().normalize();
  const along = Math.abs(down.x) > 0.5;
  const [reach, wide] = along ? [half.x, half.y] : [half.y, half.x];
  const side = new Vector3(0, 0, 1).cross(down).multiplyScalar(wide);
  const ends: Vector3[] = [];
  for (const s of [1, -1]) {
    const lower = down.clone().multiplyScalar(reach).addScaledVector(side, s);
    const upper = down.clone().multiplyScalar(-reach).addScaledVector(side, s);
    // Straight down from the upper corner to the level of the lower one.
    const foot = upper.clone().addScaledVector(up, lower.clone().sub(upper).dot(up));
    g.add(line([lower, foot, upper], ink[look].mark, true, true));
    ends.push(foot);
  }
  g.add(line(ends, ink[look].mark, true, true));
  return g;
}

/** The ridge across the way: from foot to top to foot in side view, as wide as the board. */
function ridgeUnder(ridge: RideRidge): BufferGeometry {
  const [x = 0, z = 0] = ridge.apex_mm;
  const wide = 2 * half.y;
  const outline = new Outline();
  outline.moveTo(ridge.rear_mm, 0);
  outline.lineTo(ridge.front_mm, 0);
  outline.lineTo(x, z);
  outline.closePath();
  return new ExtrudeGeometry(outline, { depth: wide, bevelEnabled: false })
    .rotateX(Math.PI / 2)
    .translate(0, wide / 2, 0);
}

/** A wedge or a block under a wheel; null when it stands on the board itself. */
function raise(under: RidePoseWheel, width: number): BufferGeometry | null {
  const touch = toVec(under.touch_mm);
  const foot = toVec(under.ground_mm);
  const wide = width * 1.5;
  const slope = (under.normal[0] ?? 0) * -1;
  if (Math.abs(slope) > 1e-6) {
    const rise = slope / (under.normal[2] ?? 1);
    const long = Math.max(touch.x - foot.x + 55, 60);
    const outline = new Outline();
    outline.moveTo(0, 0);
    outline.lineTo(long, 0);
    outline.lineTo(long, rise * long);
    outline.closePath();
    return new ExtrudeGeometry(outline, { depth: wide, bevelEnabled: false })
      .rotateX(Math.PI / 2)
      .translate(foot.x, touch.y + wide / 2, 0);
  }
  if (foot.z < 0.05) return null;
  return new BoxGeometry(86, wide, foot.z).translate(touch.x, touch.y, foot.z / 2);
}

function solid(geometry: BufferGeometry, look: Look): [Mesh, LineSegments] {
  const mesh = new Mesh(
    geometry,
    new MeshLambertMaterial({
      color: ink[look].board,
      transparent: true,
      opacity: 0.82,
      polygonOffset: true,
      polygonOffsetFactor: 1,
    }),
  );
  mesh.receiveShadow = true;
  mesh.raycast = () => undefined;
  const edges = new LineSegments(
    new EdgesGeometry(geometry, 20),
    new LineBasicMaterial({ color: ink[look].edge, transparent: true, opacity: ink[look].edgeClear }),
  );
  edges.raycast = () => undefined;
  return [mesh, edges];
}

const atStop = {
  open: 'fully open',
  closed: 'fully closed',
  'coil bind': 'coils touch',
  nothing: '',
  springs: '',
} as const;

/** Loads on the tyres, sags at the shocks; places in the chassis frame. */
export function stanceWords(p: Posed, axles: Axles, weight: boolean): Label[] {
  const out: Label[] = [];
  if (weight) {
    const chassis = placement(p.row.pose.origin_mm, p.row.pose.turn).invert();
    const at = toVec(p.row.pose.center_of_mass_mm).applyMatrix4(chassis);
    at.z += 16;
    out.push({ key: 'centre of mass', text: 'centre of mass', tone: 'mark', at });
  }
  for (const w of wheels) {
    const a = axles[w.end];
    if (!a.present || !a.half_track_mm) continue;
    const s = w.side === 'left' ? 1 : -1;
    const [, b = 0, , , e = 1, , , h = 0] = a.turn;
    const at = wheelCentre(a, s).addScaledVector(new Vector3(b, e, h), (s * a.tyre_width_mm) / 2);
    const load = p.row.loads[w.key];
    const how = bearing(p.row.loads, w.key);
    const text =
      how === 'off' ? 'carries nothing' : how === 'light' ? `light: ${p.words.load(load)}` : p.words.load(load);
    out.push({
      key: `stance ${w.name}`,
      text,
      tone: how === 'off' ? 'stop' : how === 'light' ? 'watch' : 'load',
      at,
    });
  }
  for (const end of ['front', 'rear'] as const) {
    for (const k of p.row.pose[end].shocks) {
      const stop = atStop[k.at];
      const sag = k.sag_mm === null ? '' : p.words.sag(k.sag_mm, k.sag_share);
      const text = p.level ? [sag, stop].filter(Boolean).join(', ') : stop;
      if (!text) continue;
      out.push({
        key: `sag ${end} ${k.name} ${k.side}`,
        text,
        tone: stop ? 'watch' : 'swing',
        at: toVec(k.top_mm).lerp(toVec(k.bottom_mm), p.level ? 0.12 : 0.4),
      });
    }
  }
  return out;
}
