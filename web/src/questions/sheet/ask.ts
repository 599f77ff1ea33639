import type { System } from '$lib/units/units';

export const formats = ['pdf', 'html', 'md', 'csv'] as const;
export type Format = (typeof formats)[number];
export type Paper = 'a4' | 'letter';

/** The parts of a sheet in its order; the keys are those of the command's --sections. */
export const sections = [
  { key: 'side', title: 'Side view' },
  { key: 'findings', title: 'What to know first' },
  { key: 'key', title: 'Key numbers' },
  { key: 'setup', title: 'Set-up' },
  { key: 'views', title: 'From above and from behind' },
  { key: 'plots', title: 'Plots' },
  { key: 'changes', title: 'What changed', comparison: true },
  { key: 'parts', title: 'Parts and their weights' },
  { key: 'order', title: 'To buy' },
  { key: 'numbers', title: 'All numbers' },
  { key: 'readings', title: 'To be read off the rig' },
  { key: 'cautions', title: 'Cautions' },
] as const;

export interface Wish {
  rig: string;
  against: string;
  units: System;
  paper: Paper;
  /** Keys of the sections wanted. */
  wanted: readonly string[];
}

/** Where the sheet is to be had in a format. */
export function address(wish: Wish, format: Format): string {
  const query = new URLSearchParams({ format, units: wish.units });
  if (wish.against) query.set('against', wish.against);
  if (format === 'pdf') query.set('paper', wish.paper);
  if (format !== 'csv') query.set('sections', wish.wanted.join(','));
  return `/api/rigs/${encodeURIComponent(wish.rig)}/sheet?${query.toString()}`;
}
