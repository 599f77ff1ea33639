import type { Change, Part, Ride } from '$lib/api/types';
import { yamlText } from '$lib/api/yaml';

type End = 'front' | 'rear';

/** Names of an axle's shocks in the document, each once: of a pair both have the same. */
export const shockNames = (ride: Ride, end: End): string[] => [
  ...new Set((ride.stance?.pose?.[end].shocks ?? []).map((s) => s.name)),
];

/** The collars of a wish as changes; null when one of them is below what a collar does. */
export function collarChanges(shocks: { name: string; collar_mm: number }[]): Change[] | null {
  if (shocks.length === 0 || shocks.some((s) => s.collar_mm < 0)) return null;
  return shocks.map((s) => ({ path: ['shocks', s.name, 'collar'], value: `${s.collar_mm.toFixed(2)} mm` }));
}

/** An item of the bins as the only spring of an axle's shocks; null where several in series stand now: which one is the builder's to say. */
export function springChanges(names: string[], item: string, parts: Part[]): Change[] | null {
  if (names.length === 0 || !item) return null;
  const several = names.some((n) => {
    const written = parts.find((p) => p.path[0] === 'shocks' && p.name === n)?.text?.['springs'] ?? '';
    return (written.match(/\{/g) ?? []).length > 1;
  });
  if (several) return null;
  return names.map((n) => ({ path: ['shocks', n, 'springs'], value: `[{item: ${yamlText(item)}}]` }));
}

/** Oil for an axle's shocks. */
export const oilChanges = (names: string[], cst: number): Change[] =>
  names.map((n) => ({ path: ['shocks', n, 'oil'], value: `${cst.toFixed(0)} cSt` }));
