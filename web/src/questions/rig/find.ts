import type { Part } from '$lib/api/types';

/** Every word of the search must stand somewhere in what is written about the part. */
export function matches(part: Part, search: string): boolean {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  if (words.length === 0) return true;
  const text = [part.name, part.kind, part.item, part.on, part.path[0], ...part.holes.flatMap((h) => [h.name, h.bolt])]
    .join(' ')
    .toLowerCase();
  return words.every((w) => text.includes(w));
}

/** Whether a picked path means this part: itself, or something of it. */
export const covers = (part: string, picked: string): boolean => picked === part || picked.startsWith(`${part}/`);

/** A place as the document writes it: "[6, 0, 12]" from three texts, numbers bare where they are in mm. */
export const placeText = (three: string[]): string => `[${three.map((t) => t.replace(/ mm$/, '')).join(', ')}]`;

/** The three texts of a place as written: "[6 mm, 0.5 in, 12]". Null when it is written some other way. */
export function placeParts(text: string | undefined): [string, string, string] | null {
  const inner = text?.trim().match(/^\[(.*)\]$/s)?.[1];
  const parts = inner?.split(',').map((s) => s.trim().replace(/^["']|["']$/g, ''));
  const [x, y, z] = parts ?? [];
  return parts?.length === 3 && x && y && z ? [x, y, z] : null;
}
