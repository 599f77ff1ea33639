import { isWord, type Word } from './words';

/** Where the page is, as its address says: #/ · #/begin · #/rig/ID/WORD?with=OTHER */
export interface Place {
  rig: string;
  word: Word;
  other: string;
  begin: boolean;
}

export function parsePlace(hash: string): Place {
  const [path = '', query = ''] = hash.replace(/^#/, '').split('?');
  const steps = path.split('/').filter(Boolean).map(decodeURIComponent);
  const other = new URLSearchParams(query).get('with') ?? '';
  if (steps[0] === 'rig' && steps[1]) {
    return { rig: steps[1], word: isWord(steps[2]) ? steps[2] : 'travel', other, begin: false };
  }
  return { rig: '', word: 'travel', other: '', begin: steps[0] === 'begin' };
}

export function writePlace(place: Place): string {
  if (!place.rig) return place.begin ? '#/begin' : '#/';
  const query = place.other ? `?with=${encodeURIComponent(place.other)}` : '';
  return `#/rig/${encodeURIComponent(place.rig)}/${place.word}${query}`;
}
