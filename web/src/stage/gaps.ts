import { BufferGeometry, Group, LineBasicMaterial, LineSegments, Vector3 } from 'three';
import type { Clearance } from '$lib/api/types';
import type { Look } from '$lib/state/settings.svelte';
import type { Label } from './labels';
import { ink } from './look';
import { toVec } from './moving';

/** A gap to draw, its length already written. */
export interface Gap {
  clearance: Pick<Clearance, 'at_a_mm' | 'at_b_mm' | 'touching'>;
  text: string;
}

const far = 22; // mm: length of the arrows outside
const close = 9; // the same where there are many
const head = 3.5;

/**
 * A gap as a dimension: a line between the two nearest points and, as in drawings of small distances, an arrow from outside to
 * each. What touches has its arrows at the place where it does.
 * Of many, each has short ones.
 */
export function gapMarks(gap: Gap, look: Look, many = false): { group: Group; label: Label } {
  const arm = many ? close : far;
  const a = toVec(gap.clearance.at_a_mm);
  const b = toVec(gap.clearance.at_b_mm);
  const way = b.clone().sub(a);
  const along = way.length() > 1e-6 ? way.normalize() : new Vector3(0, 0, 1);
  const across = new Vector3(0, 1, 0).cross(along);
  if (across.lengthSq() < 1e-6) across.set(1, 0, 0);
  across.normalize();
  const points: Vector3[] = [a, b];
  for (const [tip, out] of [
    [a, along.clone().negate()],
    [b, along],
  ] as const) {
    points.push(tip, tip.clone().addScaledVector(out, arm));
    for (const s of [1, -1]) {
      points.push(
        tip,
        tip
          .clone()
          .addScaledVector(out, head)
          .addScaledVector(across, s * head * 0.45),
      );
      points.push(tip, tip.clone().addScaledVector(across, s * head));
    }
  }
  const lines = new LineSegments(
    new BufferGeometry().setFromPoints(points),
    new LineBasicMaterial({ color: ink[look].mark, depthTest: false, transparent: true }),
  );
  lines.raycast = () => undefined;
  lines.renderOrder = 11;
  const group = new Group();
  group.add(lines);
  return {
    group,
    label: {
      key: 'gap',
      tone: gap.clearance.touching ? 'stop' : 'mark',
      text: gap.text,
      at: b.clone().addScaledVector(along, many ? arm : arm + 14),
    },
  };
}
