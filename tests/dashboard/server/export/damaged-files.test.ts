/* A file that is damaged, foreign or changed is refused with its place and reason, and the store stays as it was. */
import fc from 'fast-check';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { describe, expect, it, test } from 'vitest';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { folderOnTrial } from '../dashboard-on-trial.js';
import { type Ending, endings, fileOf, fullNight, fullTold, imported, runOf, tell, tellMore } from './run-on-trial.js';

async function files(): Promise<Record<Ending, Buffer>> {
  const store = openStore(':memory:');
  tell(store, fullNight);
  tellMore(store, fullTold);
  const made = {} as Record<Ending, Buffer>;
  for (const ending of endings) made[ending] = await fileOf(runOf(store), ending);
  store.close();
  return made;
}

const counted = (store: Store): unknown =>
  [
    'runs',
    'records',
    'events',
    'memories',
    'minutes',
    'queues',
    'recipes',
    'imported_runs',
    'imported_alarms',
    'run_entries',
  ].map((table) => store.database.prepare(`SELECT count(*) FROM ${table}`).pluck().get());

/** What is said of these bytes; fails when they are taken, or when anything in the store changed. */
async function refusal(bytes: Uint8Array): Promise<string> {
  const store = openStore(':memory:');
  const before = counted(store);
  const said = await imported(store, folderOnTrial(), bytes).then(
    () => 'it was taken',
    (fault: unknown) => (fault as Error).message,
  );
  expect(counted(store)).toEqual(before);
  store.close();
  expect(said).not.toBe('it was taken');
  return said;
}

const changed = (file: Buffer, from: string | RegExp, to: string): Buffer => {
  const text = file.toString('utf8');
  const spoiled = text.replace(from, to);
  expect(spoiled).not.toBe(text);
  return Buffer.from(spoiled);
};
function inArchive(file: Buffer, name: string, change: (text: string) => string): Uint8Array {
  const parts = unzipSync(new Uint8Array(file));
  parts[name] = strToU8(change(Buffer.from(parts[name]!).toString('utf8')));
  return zipSync(parts);
}
/** The cells of one line of a table changed; lines count from 1, the headings being the first. */
const onLine =
  (line: number, change: (cells: string[]) => string[]) =>
  (text: string): string =>
    text
      .split('\r\n')
      .map((one, index) => (index === line - 1 ? change(one.split(',')).join(',') : one))
      .join('\r\n');

describe('a CSV archive', () => {
  it.each([
    [/records\.csv, line 5: expected 27 cells, as the headings say, got 26/, 'records.csv', onLine(5, (cells) => cells.slice(1))],
    [/records\.csv, line 3: secondsCovered: expected a whole number, got "one"/, 'records.csv', onLine(3, (cells) => [cells[0]!, 'one', ...cells.slice(2)])],
    [/records\.csv, line 1: the table records lacks firstSequence/, 'records.csv', onLine(1, (cells) => ['Sequence', ...cells.slice(1)])],
    [/records\.csv, line 4: takenAtUtc says .* one of them was changed/, 'records.csv', onLine(4, (cells) => [...cells.slice(0, 5), '2026-01-10T20:00:59.000Z', ...cells.slice(6)])],
    [/records\.csv, line 4: firstSequence: expected more than \d+, which was there before/, 'records.csv', (text: string) => { const lines = text.split('\r\n'); lines[3] = lines[2]!; return lines.join('\r\n'); }],
    [/The table records: it ends after \d+ rows, and its head says \d+: rows were lost or added/, 'records.csv', (text: string) => text.split('\r\n').slice(0, -3).join('\r\n')],
    [/events\.csv, line 2: kind: expected 0 to 255, got 4000/, 'events.csv', onLine(2, (cells) => [...cells.slice(0, 5), '4000', ...cells.slice(6)])],
    [/alarms\.csv, line 2: priority: expected high, medium or low, got "urgent"/, 'alarms.csv', onLine(2, (cells) => [...cells.slice(0, 2), 'urgent', ...cells.slice(3)])],
    [/alarms\.csv, line 3: name: expected the name of an alarm of this dashboard, got "=cmd\(\)"/, 'alarms.csv', onLine(3, (cells) => [cells[0]!, "'=cmd()", ...cells.slice(2)])],
    [/alarms\.csv, line 2: raisedAtUtc says .* one of them was changed/, 'alarms.csv', (text: string) => text.replace('2026-01-10T20:00:20.000Z', '2026-01-10T20:00:21.000Z')],
    [/alarms\.csv, line 2: acknowledgedBy: expected who acknowledged it and when, or neither, got null/, 'alarms.csv', (text: string) => text.replace(',Robin,', ',,')],
    [/alarmJournal\.csv, line 2: alarmNumber: expected the number of an alarm in the table alarms, got 9/, 'alarmJournal.csv', onLine(2, (cells) => [cells[0]!, '9', ...cells.slice(2)])],
    [/alarmJournal\.csv, line 3: who: expected a name/, 'alarmJournal.csv', onLine(3, (cells) => cells.map((cell) => (cell === 'Robin' ? '' : cell)))],
    [/entries\.csv, line 2: massGrams: .*, got null/, 'entries.csv', (text: string) => text.replace(',812.4,', ',,')],
    [/The table entries: it ends after \d+ rows, and its head says \d+: rows were lost or added/, 'entries.csv', (text: string) => text.split('\r\n').slice(0, 1).join('')],
    [/run\.json: it is not JSON/, 'run.json', (text: string) => text.slice(0, 40)],
    [/run\.json: formatVersion 3 was written by a newer Bathkeeper; this one reads up to 2/, 'run.json', (text: string) => text.replace('"formatVersion": 2', '"formatVersion": 3')],
    [/run\.json: run\.endedAtMs: expected an end that does not lie before the start/, 'run.json', (text: string) => text.replace(/"endedAtMs": \d+/, '"endedAtMs": 5')],
  ] as [RegExp, string, (text: string) => string][])('is refused with %s', async (words, name, change) => {
    expect(await refusal(inArchive((await files()).zip, name, change))).toMatch(words);
  }); // prettier-ignore

  it('is taken when somebody packed it anew, in a folder, with its columns in another order and one more', async () => {
    const parts = unzipSync(new Uint8Array((await files()).zip));
    const turned = Buffer.from(parts['records.csv']!).toString('utf8').trimEnd().split('\r\n').map((line, index) => [...line.split(',').reverse(), index === 0 ? 'remark' : 'seen, by me'.replace(', ', ' ')].join(',')).join('\n'); // prettier-ignore
    const packed = zipSync({
      'night/records.csv': strToU8(turned),
      'night/events.csv': parts['events.csv']!,
      'night/entries.csv': parts['entries.csv']!,
      'night/alarmJournal.csv': parts['alarmJournal.csv']!,
      'night/alarms.csv': parts['alarms.csv']!,
      'night/run.json': parts['run.json']!,
    });
    const store = openStore(':memory:');
    expect(await imported(store, folderOnTrial(), packed)).toMatchObject({ recordCount: fullNight.records.length });
    store.close();
  });

  it.each(['events', 'alarms', 'alarmJournal', 'entries'])('without its table %s is refused', async (table) => {
    const { [`${table}.csv`]: _left, ...rest } = unzipSync(new Uint8Array((await files()).zip));
    expect(await refusal(zipSync(rest))).toMatch(`The file: the table ${table} is missing`);
  });
});

describe('a JSON document', () => {
  it.each([
    ['a row that lost a cell', /line \d+: expected 10 cells, as the headings say, got 9/, (file: Buffer) => changed(file, /\n\[\d+,/g, '\n[')],
    ['a brace too many', /line \d+: this is no JSON/, (file: Buffer) => changed(file, '"records": [', '"records": [}')],
    ['another format', /expected a run as this dashboard exports it/, (file: Buffer) => changed(file, 'bathkeeper-run', 'somebody-else')],
    ['its columns lost', /line \d+: a row of records stands before the columns/, (file: Buffer) => changed(file, '"recordsColumns"', '"columns"')],
  ])('with %s is refused', async (_name, words, spoil) => {
    expect(await refusal(spoil((await files()).json))).toMatch(words);
  }); // prettier-ignore

  it('is taken when a program laid it out anew', async () => {
    const laidOut = JSON.stringify(JSON.parse((await files()).json.toString('utf8')), null, 4);
    const store = openStore(':memory:');
    expect(await imported(store, folderOnTrial(), Buffer.from(laidOut))).toMatchObject({
      recordCount: fullNight.records.length,
    });
    store.close();
  });
});

test.each([
  ['an empty file', Buffer.alloc(0), /Line 1: the file is empty/],
  ['a picture', Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), /expected a run as this dashboard exports it/],
  ['a table of somebody else', Buffer.from('time,current\n1,2\n'), /expected a run as this dashboard exports it/],
  ['an archive of somebody else', Buffer.from(zipSync({ 'readme.txt': strToU8('hello') })), /The file: the head of the run is missing/],
  ['the beginning of a Parquet file', Buffer.from('PAR1 and no more'), /The foot of the file: it cannot be read as Parquet/],
])('%s is refused', async (_name, bytes, words) => {
  expect(await refusal(bytes)).toMatch(words);
}); // prettier-ignore

test.each(endings)('cut off anywhere or with any byte changed, %s is refused or taken as it was, and never half', async (ending) => {
  const whole = (await files())[ending];
  const folder = folderOnTrial();
  await fc.assert(
    fc.asyncProperty(fc.nat(whole.length - 2), fc.option(fc.integer({ min: 1, max: 255 })), async (at, flip) => {
      const spoiled = flip === null ? whole.subarray(0, at) : Buffer.from(whole);
      if (flip !== null) spoiled[at] = whole[at]! ^ flip;
      const store = openStore(':memory:');
      const before = counted(store);
      const taken = await imported(store, folder, spoiled).then(
        () => true,
        (fault: Error) => {
          expect(fault.constructor.name).toBe('UnreadableRun');
          return false;
        },
      );
      if (taken) expect(store.database.prepare('SELECT count(*) FROM records').pluck().get()).toBe(fullNight.records.length);
      else expect(counted(store)).toEqual(before);
      store.close();
    }),
    // Parquet is read by a library of its own: what it does with nonsense must not end the program.
    { numRuns: ending === 'parquet' ? 300 : 120 },
  );
}); // prettier-ignore
