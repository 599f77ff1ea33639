import type { Change, Part, Travel, End } from '$lib/api/types';

/** The links that hold an axle, each name once (twins share a length). */
export const linkNames = (travel: Travel, end: End): string[] => [
  ...new Set((travel.axles[end]?.design.links ?? []).map((l) => l.name)),
];

/**
 * The changes that write lengths into the document: a link of rod and ends becomes one of a length, so what made its length is
 * taken out. Lengths keep the digits that put the axle where it was wished to 1e-6 mm.
 */
export function putLengths(wanted: { link: string; wanted_mm: number; change_mm: number }[], parts: Part[]): Change[] {
  return wanted
    .filter((w) => Math.abs(w.change_mm) > 1e-9)
    .flatMap((w) => {
      const path = ['links', w.link];
      const text = parts.find((p) => p.path[0] === 'links' && p.name === w.link)?.text ?? {};
      const gone = ['ends', 'turns'].filter((key) => text[key] !== undefined);
      if (text['length'] === undefined) gone.unshift('rod');
      return [
        { path: [...path, 'length'], value: w.wanted_mm.toFixed(9) },
        ...gone.map((key): Change => ({ path: [...path, key], remove: true })),
      ];
    });
}
