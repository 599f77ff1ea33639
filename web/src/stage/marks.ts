import {
  BufferGeometry,
  CanvasTexture,
  Float32BufferAttribute,
  Group,
  Line,
  LineBasicMaterial,
  LineDashedMaterial,
  LineSegments,
  Mesh,
  Sprite,
  SpriteMaterial,
  Vector3,
} from 'three';
import type { AxleState, Stage } from '$lib/api/types';
import type { Look } from '$lib/state/settings.svelte';
import { ink } from './look';
import { toVec } from './moving';

/** The quartered disc that drawings mark a centre of mass with. */
function quartered(): CanvasTexture {
  const c = document.createElement('canvas');
  c.width = c.height = 64;
  const g = c.getContext('2d');
  if (g) {
    for (let i = 0; i < 4; i++) {
      g.beginPath();
      g.moveTo(32, 32);
      g.arc(32, 32, 28, (i * Math.PI) / 2, ((i + 1) * Math.PI) / 2);
      g.fillStyle = i % 2 ? '#ffffff' : '#111111';
      g.fill();
    }
    g.beginPath();
    g.arc(32, 32, 28, 0, 2 * Math.PI);
    g.lineWidth = 4;
    g.strokeStyle = '#111111';
    g.stroke();
  }
  return new CanvasTexture(c);
}

const still = <T extends { raycast: unknown }>(o: T): T => {
  o.raycast = () => undefined;
  return o;
};

function discAt(at: Vector3): Sprite {
  const s = still(
    new Sprite(new SpriteMaterial({ map: quartered(), depthTest: false, transparent: true, sizeAttenuation: false })),
  );
  s.position.copy(at);
  s.scale.setScalar(0.013);
  s.renderOrder = 10;
  return s;
}

/** A centre of mass, and the plumb line from it to the plane z = 0. */
export function plumbMarks(at: Vector3, up: Vector3, look: Look): Group {
  const g = new Group();
  g.add(discAt(at));
  if (up.z > 0.05) g.add(line([at, at.clone().addScaledVector(up, -at.z / up.z)], ink[look].mark, true));
  return g;
}

/** Frees what marks were made of. */
export function scrap(group: Group): void {
  group.traverse((o) => {
    const { geometry, material } = o as Partial<Mesh>;
    if (!(o instanceof Sprite)) geometry?.dispose(); // sprites share one
    for (const m of material ? [material].flat() : []) {
      (m as SpriteMaterial).map?.dispose();
      m.dispose();
    }
  });
  group.clear();
}

/** Centre of mass with its plumb line, and the quadrilateral of the contact points. */
export function weightMarks(stage: Stage, look: Look): Group {
  const g = new Group();
  const colour = ink[look].mark;
  const up = toVec(stage.ground.up);
  if (stage.center_of_mass_mm) {
    const at = toVec(stage.center_of_mass_mm);
    g.add(discAt(at));
    if (stage.ground.known) {
      const foot = at.clone().addScaledVector(up, -at.clone().sub(toVec(stage.ground.point_mm)).dot(up));
      g.add(line([at, foot], colour, true));
    }
  }
  const corners: Vector3[] = [];
  for (const [end, sides] of [
    ['front', [1, -1]],
    ['rear', [-1, 1]],
  ] as const) {
    const a = stage.axles[end];
    if (!a.present || !a.half_track_mm || !a.tyre_radius_mm) continue;
    for (const s of sides) corners.push(wheelCentre(a, s).addScaledVector(up, -a.tyre_radius_mm));
  }
  if (corners.length === 4) g.add(line([...corners, corners[0] as Vector3], colour, true));
  return g;
}

export function wheelCentre(a: AxleState, side: 1 | -1): Vector3 {
  const [, b = 0, , , e = 1, , , h = 0] = a.turn;
  return toVec(a.origin_mm).add(new Vector3(b, e, h).multiplyScalar(side * a.half_track_mm));
}

const far = 900; // mm: an instant centre further away is shown as a direction only

/** Instant centre in side view and roll axis of each axle. */
export function swingMarks(
  axles: { front: AxleState; rear: AxleState },
  look: Look,
): { group: Group; labels: { at: Vector3; text: string; key: string }[] } {
  const group = new Group();
  const labels: { at: Vector3; text: string; key: string }[] = [];
  const colour = ink[look].swing;
  for (const end of ['front', 'rear'] as const) {
    const a = axles[end];
    if (!a.present) continue;
    if (a.instant_center_mm) {
      const [x = 0, z = 0] = a.instant_center_mm;
      const at = new Vector3(x, 0, z);
      const from = toVec(a.origin_mm);
      const reach = at.distanceTo(from);
      const shown = reach > far ? from.clone().lerp(at, 320 / reach) : at;
      group.add(line([from, shown], colour, true));
      if (reach <= far) group.add(cross(at, colour));
      labels.push({
        at: shown,
        key: `${end} centre`,
        text: reach > far ? `to the ${end} instant centre` : `${end} instant centre`,
      });
    }
    if (a.roll_axis) {
      const p = toVec(a.roll_axis.point_mm);
      const d = toVec(a.roll_axis.direction).normalize();
      const s = d.x < 0 ? -1 : 1;
      const ahead = p.clone().addScaledVector(d, s * 95);
      const behind = p.clone().addScaledVector(d, -s * 95);
      group.add(line([behind, ahead], colour, false));
      labels.push({ at: end === 'front' ? ahead : behind, key: `${end} roll`, text: `${end} roll axis` });
    }
  }
  return { group, labels };
}

export function line(points: Vector3[], colour: number, dashed: boolean, hidden = false): Line {
  const material = dashed
    ? new LineDashedMaterial({ color: colour, dashSize: 6, gapSize: 4, depthTest: hidden, transparent: true })
    : new LineBasicMaterial({ color: colour, depthTest: hidden, transparent: true });
  const l = still(new Line(new BufferGeometry().setFromPoints(points), material));
  l.computeLineDistances();
  l.renderOrder = 9;
  return l;
}

function cross(at: Vector3, colour: number): LineSegments {
  const k = 7;
  const p = [
    [-k, 0, 0],
    [k, 0, 0],
    [0, 0, -k],
    [0, 0, k],
    [0, -k, 0],
    [0, k, 0],
  ].map(([x, y, z]) => at.clone().add(new Vector3(x, y, z)));
  const l = still(
    new LineSegments(
      new BufferGeometry().setFromPoints(p),
      new LineBasicMaterial({ color: colour, depthTest: false, transparent: true }),
    ),
  );
  l.renderOrder = 9;
  return l;
}

/** A grid on the ground that fades outwards; step in mm. */
export function grid(step: number, look: Look): LineSegments {
  const size = 420;
  const n = Math.floor(size / step);
  const position: number[] = [];
  const rgba: number[] = [];
  const c = {
    r: ((ink[look].grid >> 16) & 255) / 255,
    g: ((ink[look].grid >> 8) & 255) / 255,
    b: (ink[look].grid & 255) / 255,
  };
  const fade = (x: number, y: number, strong: boolean): number =>
    Math.max(0, 1 - Math.hypot(x / size, y / (size * 0.72)) ** 1.6) * ink[look].gridClear * (strong ? 1.6 : 0.6);
  const segment = (a: [number, number], b: [number, number], strong: boolean): void => {
    position.push(a[0], a[1], 0, b[0], b[1], 0);
    for (const [x, y] of [a, b]) rgba.push(c.r, c.g, c.b, fade(x, y, strong));
  };
  for (let i = -n; i <= n; i++) {
    const strong = i % 10 === 0;
    const k = i * step;
    for (let j = -size; j < size; j += 35) {
      segment([k, j], [k, j + 35], strong);
      segment([j, k], [j + 35, k], strong);
    }
  }
  const g = new BufferGeometry();
  g.setAttribute('position', new Float32BufferAttribute(position, 3));
  g.setAttribute('color', new Float32BufferAttribute(rgba, 4));
  const l = still(
    new LineSegments(g, new LineBasicMaterial({ vertexColors: true, transparent: true, depthWrite: false })),
  );
  l.renderOrder = -1;
  return l;
}
