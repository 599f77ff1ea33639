import { BoxGeometry, BufferAttribute, BufferGeometry, CylinderGeometry, LatheGeometry, Matrix4, Vector2 } from 'three';
import { mergeGeometries } from 'three/addons/utils/BufferGeometryUtils.js';
import { placed } from './merge';

const still = new Matrix4();

const lug = 3; // mm, height of the tread blocks
const cache = new Map<string, BufferGeometry>();

/** Share of the tyre's radius that the rim takes up: drawn only, about a 2.2 in rim in a 4.7 in tyre. */
export const rimShare = 0.47;

function turned(points: [number, number][], steps = 40): BufferGeometry {
  // A profile of (radius, along the wheel axis), turned about y.
  const g = new LatheGeometry(
    points.map(([r, y]) => new Vector2(r, y)),
    steps,
  );
  return g;
}

/** A tyre about y, centred: carcass with round shoulders, staggered blocks. Groups: 0 rubber. Drawn, not measured. */
export function tyreGeometry(diameter: number, width: number): BufferGeometry {
  const key = `${diameter.toFixed(2)}×${width.toFixed(2)}`;
  const known = cache.get(key);
  if (known) return known;
  const r = diameter / 2;
  const w = width / 2;
  const base = r - lug;
  const rim = r * rimShare;
  const shoulder = Math.min(w * 0.55, (base - rim) * 0.45);
  const profile: [number, number][] = [[rim, -w * 0.72]];
  profile.push([rim + (base - rim) * 0.35, -w * 0.98]);
  for (let i = 0; i <= 4; i++) {
    const a = (i / 4) * (Math.PI / 2);
    profile.push([base - shoulder + shoulder * Math.sin(a), -(w - shoulder) - shoulder * Math.cos(a)]);
  }
  const other = profile.map(([x, y]): [number, number] => [x, -y]).reverse();
  const pieces: BufferGeometry[] = [turned([...profile, ...other])];

  const count = Math.max(14, Math.round((Math.PI * diameter) / 17));
  const pitch = (2 * Math.PI) / count;
  const block = (across: number, along: number, y: number, at: number, lean: number): void => {
    const b = new BoxGeometry(along, across, lug * 2.2);
    b.applyMatrix4(new Matrix4().makeRotationZ(lean));
    b.translate(0, y, base - lug * 0.1);
    b.applyMatrix4(new Matrix4().makeRotationY(at));
    pieces.push(b);
  };
  const along = ((2 * Math.PI * r) / count) * 0.52;
  for (let i = 0; i < count; i++) {
    block(w * 0.5, along, w * 0.3, i * pitch, 0.35);
    block(w * 0.5, along, -w * 0.3, (i + 0.5) * pitch, -0.35);
    block(w * 0.4, along * 0.8, w * 0.8, (i + 0.5) * pitch, 0);
    block(w * 0.4, along * 0.8, -w * 0.8, i * pitch, 0);
  }
  const merged = mergeGeometries(pieces.map((g) => placed(g, still)));
  pieces.forEach((p) => p.dispose());
  cache.set(key, merged);
  return merged;
}

/** The rim in a tyre: barrel, two bead rings, spokes and hub. */
export function rimGeometry(diameter: number, width: number): BufferGeometry {
  const key = `rim ${diameter.toFixed(2)}×${width.toFixed(2)}`;
  const known = cache.get(key);
  if (known) return known;
  const r = (diameter / 2) * rimShare;
  const w = (width / 2) * 0.78;
  const pieces: BufferGeometry[] = [
    turned([
      [r * 0.9, -w],
      [r * 1.04, -w],
      [r * 1.06, -w * 0.86],
      [r * 0.98, -w * 0.8],
      [r * 0.98, w * 0.8],
      [r * 1.06, w * 0.86],
      [r * 1.04, w],
      [r * 0.9, w],
      [r * 0.86, w * 0.7],
      [r * 0.86, -w * 0.7],
      [r * 0.9, -w],
    ]),
    new CylinderGeometry(r * 0.26, r * 0.26, w * 1.7, 6),
    new CylinderGeometry(r * 0.4, r * 0.4, w * 1.2, 18),
  ];
  for (let i = 0; i < 6; i++) {
    for (const y of [w * 0.5, -w * 0.5]) {
      const spoke = new BoxGeometry(r * 0.52, 2.4, r * 0.2).translate(r * 0.62, y, 0);
      pieces.push(spoke.applyMatrix4(new Matrix4().makeRotationY((i * Math.PI) / 3)));
    }
  }
  for (let i = 0; i < 12; i++) {
    const bolt = new CylinderGeometry(0.9, 0.9, w * 2 + 1.6, 5).translate(r * 0.95, 0, 0);
    pieces.push(bolt.applyMatrix4(new Matrix4().makeRotationY((i * Math.PI) / 6)));
  }
  const merged = mergeGeometries(pieces.map((g) => placed(g, still)));
  pieces.forEach((p) => p.dispose());
  cache.set(key, merged);
  return merged;
}

/** Circles at the tread's edges and at the rim, as line segments. */
export function tyreOutline(diameter: number, width: number): BufferGeometry {
  const points: number[] = [];
  const r = diameter / 2;
  const w = width / 2;
  const circle = (radius: number, y: number): void => {
    const n = 56;
    for (let i = 0; i < n; i++) {
      for (const k of [i, i + 1]) {
        const a = (k / n) * 2 * Math.PI;
        points.push(radius * Math.cos(a), y, radius * Math.sin(a));
      }
    }
  };
  for (const s of [-1, 1]) {
    circle(r, s * w * 0.62);
    circle(r * rimShare * 1.05, s * w * 0.78);
  }
  return new BufferGeometry().setAttribute('position', new BufferAttribute(new Float32Array(points), 3));
}
