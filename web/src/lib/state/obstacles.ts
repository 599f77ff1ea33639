import type { RocksEnded } from '$lib/api/types';

export const obstacles = ['ledge', 'climb', 'side slope', 'off-camber ledge', 'gully', 'holes', 'boulders'] as const;
export const isSlope = (obstacle: string): boolean => ['climb', 'side slope', 'gully'].includes(obstacle);

/** How a run ended in two or three words, for the stage. */
export function endWords(e: RocksEnded): string {
  const over: Record<string, string> = {
    left: 'rolled onto its left side',
    right: 'rolled onto its right side',
    backwards: 'over backwards',
    forwards: 'over its nose',
  };
  switch (e.outcome) {
    case 'through':
      return 'through';
    case 'rolled':
      return over[e.why] ?? 'rolled';
    case 'off the line':
      return e.why === 'back' ? 'slid back' : 'off the line';
    case 'lost':
      return 'lost by the calculation';
    default:
      return `stalled: ${e.why}`;
  }
}
