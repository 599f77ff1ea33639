import type { Vector3 } from 'three';
import type { Corners, End, Stage } from '$lib/api/types';
import type { Stops } from '$lib/state/pose.svelte';
import type { Label } from './labels';
import { toVec } from './moving';

export interface Said {
  stopped: Stops;
  force: (newton: number) => string;
  angle: (degrees: number) => string;
}

/** What is written on the stage: what stopped a wheel, and with the weight layer the load on each tyre. */
export function stageWords(
  stage: Stage,
  said: Said,
  weight: boolean,
  wheel: (end: End, side: 'left' | 'right', share: number) => Vector3,
): Label[] {
  const out: Label[] = [];
  for (const end of ['front', 'rear'] as const) {
    if (!stage.axles[end].present) continue;
    const stop = said.stopped[end];
    if (stop) out.push({ key: `stop ${end}`, text: stop.why, tone: 'stop', at: wheel(end, stop.side, 1.2) });
    if (weight && stage.corner_loads_n) {
      for (const side of ['left', 'right'] as const) {
        const load = stage.corner_loads_n[`${end}_${side}` as keyof Corners];
        out.push({ key: `load ${end} ${side}`, text: said.force(load), tone: 'load', at: wheel(end, side, -1.15) });
      }
    }
  }
  if (weight && stage.center_of_mass_mm) {
    const at = toVec(stage.center_of_mass_mm);
    at.z += 16;
    out.push({ key: 'centre of mass', text: 'centre of mass', tone: 'mark', at });
  }
  return out;
}
