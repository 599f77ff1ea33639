/** What has been done, kept in this browser: the sentences of the steps, so that a changed order keeps what still holds. */
const key = (rig: string): string => `lowslung.done.${rig}`;

export function readTicks(rig: string): string[] {
  try {
    const list = JSON.parse(localStorage.getItem(key(rig)) ?? '[]') as unknown;
    return Array.isArray(list) ? list.filter((t) => typeof t === 'string') : [];
  } catch {
    return [];
  }
}

export function keepTicks(rig: string, done: string[]): void {
  try {
    localStorage.setItem(key(rig), JSON.stringify(done));
  } catch {
    // A full or locked storage loses ticks, nothing of the rig.
  }
}
