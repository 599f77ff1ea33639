/** The questions that exist on this page, in the order of the job. */
export const words = [
  'rig',
  'mates',
  'travel',
  'steer',
  'balance',
  'ride',
  'drive',
  'rocks',
  'search',
  'compare',
  'shop',
  'bench',
  'sheet',
] as const;
export type Word = (typeof words)[number];

export const questionOf: Record<Word, string> = {
  rig: 'What is it made of?',
  mates: 'Does it go together, and what is missing?',
  travel: 'What do the axles do over their travel?',
  steer: 'What do the front wheels do?',
  balance: 'Where does the weight sit, and when does it tip?',
  ride: 'How does it sit, flex and tip?',
  drive: 'What do motor, gears and pack deliver?',
  rocks: 'What will it climb?',
  search: 'Which links, holes, shocks and gears are best?',
  compare: 'What did the change do?',
  shop: 'What do I buy, cut, drill and print?',
  bench: 'What did I measure, and does the model agree?',
  sheet: 'What do I keep and publish?',
};

export const isWord = (text: string | undefined): text is Word => words.includes(text as Word);
