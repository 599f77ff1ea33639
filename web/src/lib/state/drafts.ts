/** Text that was typed and not saved yet, kept in this browser so that closing the page loses nothing. */
export interface Draft {
  text: string;
  revision: number; // the revision it was begun on
}

const key = (rig: string): string => `lowslung.draft.${rig}`;

export function readDraft(rig: string): Draft | null {
  try {
    const d = JSON.parse(localStorage.getItem(key(rig)) ?? 'null') as Draft | null;
    return d && typeof d.text === 'string' && typeof d.revision === 'number' ? d : null;
  } catch {
    return null;
  }
}

export function keepDraft(rig: string, draft: Draft | null): boolean {
  try {
    if (draft) localStorage.setItem(key(rig), JSON.stringify(draft));
    else localStorage.removeItem(key(rig));
    return true;
  } catch {
    return false;
  }
}
