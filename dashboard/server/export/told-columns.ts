/*
 * The columns of what the dashboard and people told of a run: its alarms, each change of them, and what was written into its record. As run-columns.ts, but with
 * words in them, and columns that may be empty.
 */
import type { CellType, RunColumn, RunTable } from './run-columns.js';

type Emptiness = 'may be empty' | 'never empty';

const told = (name: string, type: CellType, emptiness: Emptiness, meaning: string, unit = '1'): RunColumn => ({
  name,
  unit,
  meaning,
  type,
  mayBeEmpty: emptiness === 'may be empty',
});

/** Milliseconds, and the same to be read: `raised` gives raisedAtMs and raisedAtUtc. */
const moment = (name: string, emptiness: Emptiness, meaning: string): readonly RunColumn[] => [
  told(`${name}AtMs`, 'integer', emptiness, `Milliseconds since 1970-01-01T00:00:00Z: ${meaning}`, 'ms'),
  {
    name: `${name}AtUtc`,
    unit: 'UTC',
    meaning: 'The same as date and time.',
    type: 'instant',
    computed: (row) => row[`${name}AtMs`] ?? null,
  },
];
const at = (meaning: string): readonly RunColumn[] => [
  told('atMs', 'integer', 'never empty', `Milliseconds since 1970-01-01T00:00:00Z: ${meaning}`, 'ms'),
  {
    name: 'atUtc',
    unit: 'UTC',
    meaning: 'The same as date and time.',
    type: 'instant',
    computed: (row) => row.atMs ?? null,
  },
];

export const alarmTable: RunTable = {
  name: 'alarms',
  columns: [
    told('alarmNumber', 'integer', 'never empty', 'Number of the alarm in this file, from 1.'),
    told('name', 'text', 'never empty', 'Which alarm, as the dashboard names it.'),
    told('priority', 'text', 'never empty', 'high and medium call somebody, low is shown.'),
    told('title', 'text', 'never empty', 'The alarm in words.'),
    told('detail', 'text', 'never empty', 'What was seen, with numbers.'),
    told('checkFirst', 'text', 'never empty', 'What it said to do first.'),
    ...moment('cause', 'never empty', 'when its cause began at the bath, as well as is known.'),
    ...moment('raised', 'never empty', 'when it was raised.'),
    ...moment('notified', 'may be empty', 'when a call of it was delivered; empty: none was.'),
    ...moment('acknowledged', 'may be empty', 'when somebody acknowledged it; empty: nobody had.'),
    told(
      'acknowledgedBy',
      'text',
      'may be empty',
      'Who acknowledged it: the name of a person, with how they were called where they answered a call; "page": on the page, without a name.',
    ),
    ...moment('returned', 'may be empty', 'when its cause was gone; empty: it still stood.'),
    told('latches', 'integer', 'never empty', '1: it stayed until it was reset at the bath, 0: it did not.'),
    ...moment('reset', 'may be empty', 'when it was reset at the bath; empty: it was not, or needs none.'),
    told('isFirstOut', 'integer', 'never empty', '1: of several with one cause, the first; 0: it is not.'),
    told('causedByAlarmNumber', 'integer', 'may be empty', 'The alarm of this file that explains it; empty: none.'),
  ],
};

export const journalTable: RunTable = {
  name: 'alarmJournal',
  columns: [
    told(
      'changeNumber',
      'integer',
      'never empty',
      'Number of the change in this file, from 1, in the order of writing.',
    ),
    told('alarmNumber', 'integer', 'never empty', 'The alarm that changed.'),
    ...at('when it changed.'),
    told('what', 'text', 'never empty', 'What happened to it: raised, acknowledged, returned, shelved and so on.'),
    told('state', 'text', 'may be empty', 'The state of the alarm after it.'),
    told(
      'who',
      'text',
      'never empty',
      'The name of a person, "page": on the page, without a name, "bath", or "clock" where a time ran out.',
    ),
    told('reason', 'text', 'may be empty', 'Why, as a person said.'),
  ],
};

export const entryTable: RunTable = {
  name: 'entries',
  columns: [
    told('entryNumber', 'integer', 'never empty', 'Number of the entry in this file, from 1.'),
    told('kind', 'text', 'never empty', 'note, weighing or photograph; of a photograph only what is said of it.'),
    ...at('when it was so, as whoever wrote it said.'),
    ...moment('written', 'never empty', 'when it was written.'),
    told('who', 'text', 'never empty', 'Who wrote it.'),
    told('note', 'text', 'may be empty', 'The words of the note, of the weighing, or under the photograph.'),
    told('weighedWhen', 'text', 'may be empty', 'Of a weighing: before or after the run.'),
    told('massGrams', 'number', 'may be empty', 'Of a weighing: the part with its wires and hooks.', 'g'),
    told('massUncertaintyGrams', 'number', 'may be empty', 'Of a weighing: the balance is right within so much.', 'g'),
    told('photographType', 'text', 'may be empty', 'Of a photograph: its media type. The picture is not in the file.'),
    told('widthPixels', 'integer', 'may be empty', 'Of a photograph.'),
    told('heightPixels', 'integer', 'may be empty', 'Of a photograph.'),
    told('byteCount', 'integer', 'may be empty', 'Of a photograph: its size.', 'byte'),
    ...moment('undone', 'may be empty', 'when it was undone; empty: it holds.'),
    told('undoneBy', 'text', 'may be empty', 'Who undid it.'),
    told('undoneBecause', 'text', 'may be empty', 'Why it was undone.'),
  ],
};
