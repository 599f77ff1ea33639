import type { GearStage } from '$lib/api/types';

/**
 * The picture of the gear chain: where each gear stands and how large it is, from the teeth and the centre distances that were
 * answered. A pair in mesh shares its distance in the ratio of the teeth; teeth are drawn as plain straight ones of the standard
 * height (ISO 53: one module above the pitch circle, 1.25 below).
 */
export interface DrawnGear {
  name: string;
  teeth: number;
  x: number; // mm
  radius: number; // of the pitch circle, mm
  module: number;
  phase: number; // rad, of one tooth's middle
  stage: number;
  index: number;
  shared: boolean; // sits on the shaft of the gear before it
}

export interface DrawnMesh {
  from: number;
  to: number;
  distance: number;
  placed: number | null;
  stage: number;
}

export interface Chain {
  gears: DrawnGear[];
  meshes: DrawnMesh[];
  scale: boolean; // false when a distance is missing, so that sizes are only in the ratio of the teeth
}

const plain = 0.6; // mm: module where none is known

export function chainOf(stages: GearStage[]): Chain {
  const gears: DrawnGear[] = [];
  const meshes: DrawnMesh[] = [];
  let scale = true;
  let x = 0;
  stages.forEach((s, stage) => {
    s.teeth.forEach((teeth, i) => {
      const mesh = s.meshes[i - 1] ?? s.meshes[i];
      const [a, b] = i > 0 ? [s.teeth[i - 1] ?? teeth, teeth] : [teeth, s.teeth[1] ?? teeth];
      const distance = mesh?.center_distance_mm ?? null;
      if (distance === null) scale = false;
      const module = distance === null ? plain : (2 * distance) / (a + b);
      const radius = (module * teeth) / 2;
      const pitch = (2 * Math.PI) / teeth;
      let phase = 0;
      const before = i > 0 ? gears.at(-1) : undefined;
      if (before) {
        const gap = before.radius + radius;
        meshes.push({
          from: gears.length - 1,
          to: gears.length,
          distance: distance ?? gap,
          placed: mesh?.placed_mm ?? null,
          stage,
        });
        x += gap;
        // Where the line of centres cuts the gear before, by how much of a pitch is its next tooth away? The gear here has a
        // gap there, seen from the other side.
        const other = (2 * Math.PI) / before.teeth;
        const share = (((before.phase % other) + other) % other) / other;
        phase = Math.PI - share * pitch + pitch / 2;
      }
      gears.push({
        name: s.gears[i] ?? '',
        teeth,
        x,
        radius,
        module,
        phase,
        stage,
        index: i,
        shared: i === 0 && stage > 0,
      });
    });
  });
  return { gears, meshes, scale };
}

/** The outline of a gear around (0, 0): teeth with straight flanks, narrower at the tip. */
export function outline(g: DrawnGear): string {
  const root = Math.max(g.radius - 1.25 * g.module, g.radius * 0.4);
  const tip = g.radius + g.module;
  const pitch = (2 * Math.PI) / g.teeth;
  const at = (r: number, a: number): string => `${(r * Math.cos(a)).toFixed(3)} ${(r * Math.sin(a)).toFixed(3)}`;
  const points: string[] = [];
  for (let k = 0; k < g.teeth; k++) {
    const a = g.phase + k * pitch;
    points.push(
      at(root, a - pitch * 0.36),
      at(tip, a - pitch * 0.12),
      at(tip, a + pitch * 0.12),
      at(root, a + pitch * 0.36),
    );
  }
  return `M${points.join('L')}Z`;
}
