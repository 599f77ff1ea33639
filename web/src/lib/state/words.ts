/** The questions that exist on this page, in the order of the job. */
export const words = ['rig', 'travel', 'balance', 'compare'] as const;
export type Word = (typeof words)[number];

export const questionOf: Record<Word, string> = {
  rig: 'What is it made of?',
  travel: 'What do the axles do over their travel?',
  balance: 'Where does the weight sit, and when does it tip?',
  compare: 'What did the change do?',
};

export const isWord = (text: string | undefined): text is Word => words.includes(text as Word);
