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
    [/run\.json, line 2: expected JSON, and it ends in the middle: it was cut off/, 'run.json', (text: string) => text.slice(0, 24)],
    [/run\.json, line 6: expected JSON, got "\{"/, 'run.json', (text: string) => text.replace('"run":', '"run"').replace('"formatVersion"', '\n"formatVersion"')],
    [/run\.json: the head of the run: expected no field that is not known, got "colour"/, 'run.json', (text: string) => text.replace('{', '{"colour":"red",')],
    [/run\.json: recordCount: expected a number, got "many"/, 'run.json', (text: string) => text.replace(/"recordCount": \d+/, '"recordCount": "many"')],
    [/records\.csv, line 3: a quotation mark stands in the middle of a cell\. Expected the whole cell/, 'records.csv', onLine(3, (cells) => cells.map((cell, at) => (at === 7 ? 'pl"ate' : cell)))],
    [/entries\.csv, line 6: the row that begins here opens a quotation mark, and the file ends before one closes it/, 'entries.csv', (text: string) => `${text}9,"note\r\n\r\n`],
    // The note of the second entry has a line end in it: the photograph stands on line 5 of the file.
    [/entries\.csv, line 5: photographType: /, 'entries.csv', (text: string) => text.replace('image/jpeg', 'image/tiff')],
    [/records\.csv, line 4: the row that begins here is longer than 100,000 bytes/, 'records.csv', onLine(4, (cells) => [...cells.slice(1), 'x'.repeat(200_000)])],
    [/records\.csv, line 1: the table records lacks firstSequence, secondsCovered, boot and 15 more\. .*, got firstSequence;secondsCovered/, 'records.csv', (text: string) => text.replaceAll(',', ';')],
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

  it('is taken with what a system and a person put into it beside the run', async () => {
    const parts = unzipSync(new Uint8Array((await files()).zip));
    const packed = zipSync({ night: { ...parts, 'readme.txt': strToU8('hello') }, __MACOSX: { night: { '._run.json': strToU8('x') } } });
    const store = openStore(':memory:');
    expect(await imported(store, folderOnTrial(), packed)).toMatchObject({ recordCount: fullNight.records.length });
    store.close();
  }); // prettier-ignore

  it('with a table twice, locked, packed by another method, larger inside than it says, or with a letter changed is refused in words', async () => {
    const file = new Uint8Array((await files()).zip);
    const parts = unzipSync(file);
    expect(await refusal(zipSync({ ...parts, 'copy/records.csv': parts['records.csv']! }))).toBe(
      'The archive: it holds records.csv twice, as "records.csv" and as "copy/records.csv". Expected the files of one run: pack each run into an archive of its own.',
    );
    // PKWARE APPNOTE.TXT 4.3.12: in the list of files the flags stand 8 bytes after its signature, the method 10, the size unpacked 24, the name 46.
    const list = (name: string): number => {
      const bytes = Buffer.from(file);
      for (let at = bytes.indexOf('PK\x01\x02'); at >= 0; at = bytes.indexOf('PK\x01\x02', at + 4)) if (bytes.toString('utf8', at + 46, at + 46 + name.length) === name) return at;
      throw new Error(`${name} is not in the archive`);
    };
    const spoiled = async (spoil: (bytes: Buffer, at: number) => void): Promise<string> => {
      const bytes = Buffer.from(file);
      spoil(bytes, list('events.csv'));
      return refusal(bytes);
    };
    expect(await spoiled((bytes, at) => void (bytes[at + 8]! |= 1))).toMatch(/^events\.csv: it is locked with a password/);
    expect(await spoiled((bytes, at) => void bytes.writeUInt16LE(12, at + 10))).toMatch(/^events\.csv: it is packed by method 12\. Expected 8 \(Deflate\)/);
    expect(await spoiled((bytes, at) => void bytes.writeUInt32LE(4_000_000_000, at + 24))).toMatch(/^The archive: unpacked it is 4,000 MB large\. Expected one run, of at most 2,000 MB\.$/);
    expect(await spoiled((bytes, at) => void bytes.writeUInt32LE(40, at + 24))).toMatch(/^events\.csv: it cannot be unpacked: the archive is damaged\./);
    // One letter of a note, which no other figure of the run would betray.
    const stored = Buffer.from(zipSync(parts, { level: 0 }));
    stored[stored.indexOf('the hooks')] = 'T'.charCodeAt(0);
    expect(await refusal(stored)).toMatch(/^entries\.csv: it is not what was packed, by the checksum of the archive/);
  }); // prettier-ignore

  it.each(['events', 'alarms', 'alarmJournal', 'entries'])('without its table %s is refused', async (table) => {
    const { [`${table}.csv`]: _left, ...rest } = unzipSync(new Uint8Array((await files()).zip));
    expect(await refusal(zipSync(rest))).toMatch(`The file: the table ${table} is missing`);
  });
});

describe('a JSON document', () => {
  it.each([
    ['a row that lost a cell', /line \d+: expected 10 cells, as the headings say, got 9/, (file: Buffer) => changed(file, /\n\[\d+,/g, '\n[')],
    ['a brace too many', /line \d+: expected JSON, got "}"/, (file: Buffer) => changed(file, '"records": [', '"records": [}')],
    ['another format', /expected a run as this dashboard exports it/, (file: Buffer) => changed(file, 'bathkeeper-run', 'somebody-else')],
    ['a field of its own', /line \d+: expected no field that is not known, got "columns"/, (file: Buffer) => changed(file, '"recordsColumns"', '"columns"')],
    ['its columns lost', /line \d+: a row of records stands before the columns/, (file: Buffer) => changed(file, /"recordsColumns": \[[^\]]*\],/, '')],
    ['a field twice', /line 4: the field recordCount stands twice/, (file: Buffer) => changed(file, '"writtenAtMs"', '"recordCount": 3,"recordCount": 3,\n"writtenAtMs"')],
    ['a word without its marks', /line 3: expected JSON, got "formatVersion\\":/, (file: Buffer) => changed(file, '"formatVersion"', 'formatVersion"')],
    ['words under the name of a table', /line \d+: records: expected a list/, (file: Buffer) => changed(file, /"records": \[[^]*$/, '"records": "none"}')],
    ['bytes that are no UTF-8', /line 5: expected text in UTF-8/, (file: Buffer) => { const bad = Buffer.from(file); bad[bad.indexOf('north-bench')] = 0xff; return bad; }],
    ['a text without end', /line 5: a text that begins here is longer than any of a run/, (file: Buffer) => changed(file, 'north-bench', 'n'.repeat(3_000_000))],
    ['a row without end', /line \d+: it is longer than any row of a run/, (file: Buffer) => changed(file, '"records": [', `"records": [[${'1,'.repeat(50_000)}1],`)],
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
  ['an archive of somebody else', Buffer.from(zipSync({ 'readme.txt': strToU8('hello') })), /The archive: run\.json, the head of a run, is missing\. Expected .*, got readme\.txt\.$/],
  ['an archive in an archive', Buffer.from(zipSync({ 'night.zip': zipSync({ 'run.json': strToU8('{}') }) })), /got night\.zip\. Unpack it, and import night\.zip\.$/],
  ['the beginning of a Parquet file', Buffer.from('PAR1 and no more'), /The foot of the file: it does not end with PAR1: the file was cut off\./],
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
}, 120_000); // prettier-ignore
