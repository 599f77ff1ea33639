import {
  BoxGeometry,
  BufferGeometry,
  EdgesGeometry,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  MeshLambertMaterial,
  PlaneGeometry,
  Quaternion,
  Vector3,
} from 'three';
import type { Axles, RocksBlock, RocksCourse, RocksField, RocksFrame } from '$lib/api/types';
import type { Look } from '$lib/state/settings.svelte';
import type { Label } from './labels';
import { ink } from './look';
import { line, plumbMarks, wheelCentre } from './marks';
import { toVec } from './moving';
import { placement } from './shapes';

/** One instant of a run as the stage draws it. */
export interface Driven {
  frame: RocksFrame;
  course: RocksCourse;
  other: RocksFrame | null; // the other build then
  ended: string; // what is written over the rig at the end; empty before
  force: (newton: number) => string;
}

/** Axles as the stage draws them, where they are in the instant. */
export function drivenAxles(axles: Axles, frame: RocksFrame): Axles {
  const one = (end: 'front' | 'rear'): Axles['front'] => ({
    ...axles[end],
    origin_mm: frame[end].origin_mm,
    turn: frame[end].turn,
    shocks: frame[end].shocks.map((s) => ({
      ...s,
      stroke_left_mm: null,
      droop_left_mm: null,
    })) as unknown as Axles['front']['shocks'],
    pose: null,
    rates: null,
    instant_center_mm: null,
    roll_axis: null,
  });
  return { front: one('front'), rear: one('rear') };
}

/** How high the chassis is drawn above the middle of the picture, mm. */
const height = 68;

/** The rig stays in the middle of the picture, and the rock goes by under it. */
export function follow(frame: RocksFrame): Vector3 {
  const [x = 0, y = 0, z = 0] = frame.origin_mm;
  return new Vector3(-x, -y, height - z);
}

/** Chassis frame to the course as it is drawn while it follows frame `by`. */
export function drivenFrame(frame: RocksFrame, by: RocksFrame = frame): Matrix4 {
  const p = follow(by);
  return new Matrix4().makeTranslation(p.x, p.y, p.z).multiply(placement(frame.origin_mm, frame.turn));
}

/** The course turned so that what is against gravity points up on the screen. */
export const upright = (frame: RocksFrame): Matrix4 =>
  new Matrix4().makeRotationFromQuaternion(
    new Quaternion().setFromUnitVectors(toVec(frame.up).normalize(), new Vector3(0, 0, 1)),
  );

const along = { from: -700, to: 1700, side: 600 }; // mm of plane rock that is drawn

/** All the rock, in the course's own frame. */
export function rockOf(course: RocksCourse, look: Look): Group {
  const out = new Group();
  const face = new MeshLambertMaterial({ color: ink[look].board, polygonOffset: true, polygonOffsetFactor: 1 });
  const stone = new MeshLambertMaterial({ color: ink[look].board, flatShading: true });
  const rule = new LineBasicMaterial({ color: ink[look].grid, transparent: true, opacity: ink[look].gridClear });
  const edge = new LineBasicMaterial({ color: ink[look].edge, transparent: true, opacity: ink[look].edgeClear });
  const add = (mesh: Mesh, lines: LineSegments | null, at: Matrix4): void => {
    for (const o of [mesh, lines]) {
      if (!o) continue;
      o.matrixAutoUpdate = false;
      o.matrix.copy(at);
      o.raycast = () => undefined;
      out.add(o);
    }
    mesh.receiveShadow = true;
  };
  for (const p of course.planes) {
    const n = toVec(p.normal);
    const forward = new Vector3(1, 0, 0).addScaledVector(n, -n.x).normalize();
    const left = n.clone().cross(forward);
    const at = new Matrix4().makeBasis(forward, left, n).setPosition(toVec(p.at_mm));
    const long = along.to - along.from;
    const plane = new PlaneGeometry(long, 2 * along.side).translate((along.from + along.to) / 2, 0, 0);
    add(new Mesh(plane, face), new LineSegments(ruling(), rule), at);
  }
  for (const b of course.blocks) {
    const geometry = rounded(b);
    const big = (b.size_mm[0] ?? 0) > 400;
    const lines = big ? new LineSegments(new EdgesGeometry(geometry, 35), edge) : null;
    add(new Mesh(geometry, big ? face : stone), lines, placement(b.at_mm, b.turn));
  }
  if (course.field) {
    const mesh = heights(course.field);
    add(new Mesh(mesh, stone), null, new Matrix4());
  }
  // Where the rear axle is through.
  const goal = [-along.side / 2, along.side / 2].map((y) => new Vector3(course.finish_mm, y, 0.5));
  if (!course.field && course.planes.length === 1) out.add(line(goal, ink[look].mark, true, true));
  return out;
}

/** Lines on a plane every 100 mm, so that one sees how far it goes. */
function ruling(): BufferGeometry {
  const points: Vector3[] = [];
  for (let x = along.from; x <= along.to; x += 100)
    points.push(new Vector3(x, -along.side, 0.3), new Vector3(x, along.side, 0.3));
  for (let y = -along.side; y <= along.side; y += 100)
    points.push(new Vector3(along.from, y, 0.3), new Vector3(along.to, y, 0.3));
  return new BufferGeometry().setFromPoints(points);
}

/** A box with rounded edges: every corner of a divided box is put where the ball round the inner box has it. */
export function rounded(b: RocksBlock): BufferGeometry {
  const [x = 1, y = 1, z = 1] = b.size_mm;
  const n = b.round_mm > 0.02 * Math.min(x, y, z) ? 6 : 1;
  const g = new BoxGeometry(x, y, z, n, n, n);
  if (n === 1) return g;
  const at = g.getAttribute('position');
  const inner = new Vector3(x, y, z).multiplyScalar(0.5).subScalar(b.round_mm);
  for (let i = 0; i < at.count; i++) {
    const p = new Vector3().fromBufferAttribute(at, i);
    const core = p.clone().clamp(inner.clone().negate(), inner);
    const off = p.sub(core);
    if (off.lengthSq() > 1e-9) off.setLength(b.round_mm);
    core.add(off);
    at.setXYZ(i, core.x, core.y, core.z);
  }
  g.computeVertexNormals();
  return g;
}

function heights(f: RocksField): BufferGeometry {
  const { lines, across, cell_mm: cell, heights_mm: z } = f.map;
  const places: number[] = [];
  const corners: number[] = [];
  for (let i = 0; i < lines; i++)
    for (let k = 0; k < across; k++) places.push(f.x_mm + i * cell, f.y_mm - k * cell, z[i * across + k] ?? 0);
  for (let i = 0; i + 1 < lines; i++)
    for (let k = 0; k + 1 < across; k++) {
      const a = i * across + k;
      // The same two halves of a cell as the program has: the diagonal goes from its far left to its near right corner.
      corners.push(a, a + 1, a + across, a + 1, a + across + 1, a + across);
    }
  const g = new BufferGeometry();
  g.setAttribute('position', new Float32BufferAttribute(places, 3));
  g.setIndex(corners);
  g.computeVertexNormals();
  return g;
}

/** The plumb line through the centre of mass, in the course as drawn. */
export function drivenMarks(d: Driven, look: Look): Group {
  const at = toVec(d.frame.center_of_mass_mm).add(follow(d.frame));
  return plumbMarks(at, toVec(d.frame.up), look);
}

/** What is written at the wheels: how much each carries, and which slides. */
export function drivenWords(d: Driven, axles: Axles): Label[] {
  const out: Label[] = [];
  for (const end of ['front', 'rear'] as const) {
    const a = axles[end];
    if (!a.present || !a.half_track_mm) continue;
    for (const side of ['left', 'right'] as const) {
      const w = d.frame[end][side];
      const s = side === 'left' ? 1 : -1;
      const [, b = 0, , , e = 1, , , h = 0] = a.turn;
      const at = wheelCentre(a, s).addScaledVector(new Vector3(b, e, h), (s * a.tyre_width_mm) / 2);
      const air = w.load_n <= 0;
      const slides = w.grip_used > 0.999;
      out.push({
        key: `run ${end} ${side}`,
        text: air ? 'in the air' : slides ? `${d.force(w.load_n)}, slides` : d.force(w.load_n),
        tone: air ? 'swing' : slides ? 'watch' : 'load',
        at,
      });
    }
  }
  if (d.frame.belly_n > 0)
    out.push({
      key: 'run belly',
      text: `aground: ${d.force(d.frame.belly_n)}`,
      tone: 'stop',
      at: new Vector3(0, 0, 0),
    });
  if (d.ended) out.push({ key: 'run ended', text: d.ended, tone: 'mark', at: new Vector3(0, 0, 120) });
  return out;
}
