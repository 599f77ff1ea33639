import type { System } from '$lib/units/units';

export type Look = 'light' | 'dark';

const key = 'lowslung.settings';

interface Kept {
  units: System;
  look: Look | null;
  last: string;
  other: string;
}

function kept(): Kept {
  try {
    const k = JSON.parse(localStorage.getItem(key) ?? '{}') as Partial<Kept>;
    return {
      units: k.units === 'us' ? 'us' : 'metric',
      look: k.look === 'dark' || k.look === 'light' ? k.look : null,
      last: typeof k.last === 'string' ? k.last : '',
      other: typeof k.other === 'string' ? k.other : '',
    };
  } catch {
    return { units: 'metric', look: null, last: '', other: '' };
  }
}

/** What a person chose for themselves, kept in this browser: units, light or dark, the builds opened last. */
class Settings {
  #kept = $state<Kept>(kept());
  #system = $state<Look>('light');

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
    return this.#kept.units;
  }
  set units(units: System) {
    this.#change({ units });
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
