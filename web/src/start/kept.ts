/** What was typed in the guided start, until the rig is made. */
export interface KeptGuide {
  name: string;
  answers: Record<string, string>;
}

const key = 'lowslung.guide';

export function readGuide(): KeptGuide {
  try {
    const k = JSON.parse(localStorage.getItem(key) ?? 'null') as Partial<KeptGuide> | null;
    return { name: typeof k?.name === 'string' ? k.name : '', answers: k?.answers ?? {} };
  } catch {
    return { name: '', answers: {} };
  }
}

export function keepGuide(kept: KeptGuide | null): void {
  try {
    if (kept) localStorage.setItem(key, JSON.stringify(kept));
    else localStorage.removeItem(key);
  } catch {
    // A full storage only means that leaving the page forgets what was typed.
  }
}
