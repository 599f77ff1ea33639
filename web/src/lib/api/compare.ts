import type { Finding } from './types';

/** One number of the catalogue in every build; the first build is what the others are held against. */
export interface CompareNumber {
  name: string;
  word: string;
  unit: string;
  values: (number | null)[];
  change: (number | null)[];
  sense: string[]; // better, worse, same, or empty
  text: string[];
}

export interface DocumentChange {
  path: string;
  before: string;
  after: string;
}

/** What compare answers. */
export interface CompareAnswer {
  builds: string[];
  numbers: CompareNumber[];
  changes: DocumentChange[][];
  findings: Finding[];
}
