import type { System } from '$lib/units/units';

/** What drawings go on. */
export type Paper = 'a4' | 'letter';

/** Whether mirror twins are drawn once, to be turned over, or both. */
export type Twins = 'once' | 'both';

/** Address of something of the shop's; the revision makes it another one after a change, so that no old picture stays. */
export function shopUrl(
  rig: string,
  revision: number,
  path: string,
  query: Record<string, string | readonly string[] | undefined>,
): string {
  const q = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) {
    if (typeof value === 'string') q.append(key, value);
    else for (const one of value ?? []) q.append(key, one);
  }
  q.append('r', String(revision));
  return `/api/rigs/${encodeURIComponent(rig)}/shop/${path.split('/').map(encodeURIComponent).join('/')}?${q.toString()}`;
}

/** The query of a drawing: its paper and units. */
export const drawn = (paper: Paper, units: System): Record<string, string> => ({ paper, units });
