import type { System } from '$lib/units/units';

export type Look = 'light' | 'dark';

const key = 'lowslung.settings';

interface Kept {
  units: System | null;
  look: Look | null;
  last: string;
  other: string;
}

function kept(): Kept {
  try {
    const k = JSON.parse(localStorage.getItem(key) ?? '{}') as Partial<Kept>;
    return {
      units: k.units === 'us' || k.units === 'metric' ? k.units : null,
      look: k.look === 'dark' || k.look === 'light' ? k.look : null,
      last: typeof k.last === 'string' ? k.last : '',
      other: typeof k.other === 'string' ? k.other : '',
    };
  } catch {
    return { units: null, look: null, last: '', other: '' };
  }
}

/** What a person chose for themselves, kept in this browser: units, light or dark, the builds opened last. */
class Settings {
  #kept = $state<Kept>(kept());
  #system = $state<Look>('light');
  #offered = $state<System>('metric');

  constructor() {
    const dark = matchMedia('(prefers-color-scheme: dark)');
    this.#system = dark.matches ? 'dark' : 'light';
    dark.addEventListener('change', () => {
      this.#system = dark.matches ? 'dark' : 'light';
      this.#wear();
    });
    this.#wear();
  }

  get units(): System {
    return this.#kept.units ?? this.#offered;
  }
  set units(units: System) {
    this.#change({ units });
  }

  /** The units that the program was started with: they hold until a person chooses. True when that changes what is read. */
  offer(units: System): boolean {
    const before = this.units;
    this.#offered = units;
    return this.units !== before;
  }

  get look(): Look {
    return this.#kept.look ?? this.#system;
  }
  set look(look: Look) {
    this.#change({ look });
    this.#wear();
  }

  get last(): string {
    return this.#kept.last;
  }
  get other(): string {
    return this.#kept.other;
  }
  opened(last: string, other: string): void {
    this.#change({ last, other });
  }

  #wear(): void {
    document.documentElement.dataset['look'] = this.look;
  }

  #change(part: Partial<Kept>): void {
    this.#kept = { ...this.#kept, ...part };
    try {
      localStorage.setItem(key, JSON.stringify(this.#kept));
    } catch {
      // A full or locked storage loses a preference, nothing of the rig.
    }
  }
}

export const settings = new Settings();
