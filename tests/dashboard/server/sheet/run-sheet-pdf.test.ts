/* The run sheet as PDF, read by another library: one page of the paper that was asked, in the units that were asked, whatever the night was. */
import { describe, expect, it, test } from 'vitest';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import { madeSheet, type SheetAsked } from '../../../../dashboard/server/sheet/made-sheet.js';
import { aRecord, STARTED_MS } from '../../../shared-core/trade/run-record/a-record.js';
import { alarmsOf, aSeries, crowdedRecord, noSeries, sheetAsked, weighedRecord, WRITTEN_MS } from './a-sheet.js';
import { pagesOf, type ReadPage } from './pdf-read.js';

async function pageOf(change: Partial<SheetAsked> = {}): Promise<ReadPage> {
  const { pages } = await pagesOf(await madeSheet(sheetAsked(change)));
  expect(pages).toHaveLength(1);
  const [page] = pages;
  // Nothing is written beyond the paper.
  for (const { text, x, y, width } of page!.places) {
    expect(x, text).toBeGreaterThanOrEqual(0);
    expect(x + width, text).toBeLessThanOrEqual(page!.width);
    expect(y, text).toBeGreaterThan(0);
    expect(y, text).toBeLessThan(page!.height);
  }
  // The font has one glyph for micro and for the Greek letter, and a reader takes the letter.
  return { ...page!, words: page!.words.replaceAll('\u00a0', ' ').replaceAll('\u03bc', 'µ') };
}

const imperial = { units: 'imperial', zone: 'America/New_York', writtenAtMs: WRITTEN_MS } as const;

describe('a run sheet of a night as it should be', () => {
  test.each([
    // ISO 216 and ANSI/ASME Y14.1: 210 × 297 mm and 8.5 × 11 in, in points of 1/72 in.
    ['a4', (210 / 25.4) * 72, (297 / 25.4) * 72],
    ['letter', 8.5 * 72, 11 * 72],
  ] as const)('is one page of %s', async (paper, width, height) => {
    const page = await pageOf({ paper });
    expect(page.width).toBeCloseTo(width, 1);
    expect(page.height).toBeCloseTo(height, 1);
  });

  test.each([
    'Fluted bell lampshade',
    'Run 3 in Copper 60 L (north-bench).',
    'Mon 9 Feb 2026, 22:04 to Tue 06:40, 8 h 36 min. It ended because the charge was reached.',
    '154.2 Ah of 154.2 Ah asked',
    // Faraday's law: 154.2 Ah × 1.1855 g/Ah
    '183 g',
    '812 g, right within 0.1 g, by Robin',
    // 177.4 g of 182.8 g
    'Cathode efficiency 97 %',
    '0.301 kWh',
    'Alarm 2 · Rotation stopped: No pulse for 23 s',
    'Acknowledged by Robin',
    'Without current for 80 s, until Tue 01:05.',
    'Note by Robin: “A few nodules at the rim, ground off.”',
    'Photograph by Robin: “The rim, bright all around”',
    'Wed 31 Dec 2025, up to 28.3 A',
    '2210 Ah, 37.8 Ah/L',
    '2364 Ah, 40.4 Ah/L',
    'Looked at and kept by',
    '12 dm²',
    'µm',
    'times are those of UTC; metric units',
    '1 photograph lies in the logbook',
  ])('says: %s', async (words) => {
    expect((await pageOf()).words).toContain(words);
  });

  it('leaves out what was undone, and nothing else', async () => {
    const { words } = await pageOf();
    expect(words).not.toContain('Wrong piece.');
    expect(words).not.toContain('in the logbook, run');
  });

  it('says the same in imperial units, in the zone that was asked', async () => {
    const { words } = await pageOf({ paper: 'letter', reader: imperial });
    // 183 g ÷ 28.3495 g/oz, 170 µm ÷ 25.4 µm/mil, 12 dm² ÷ 9.2903 dm²/ft², 37.8 Ah/L × 3.7854 L/US gal, 21.6 °C: NIST SP 811 (from memory)
    for (const part of [
      '6.45 oz',
      '6.69 mil',
      '1.292 ft²',
      '70.9',
      '°F',
      '17:04 to Tue 01:40',
      '143 Ah/US gal',
      '153 Ah/US gal',
    ])
      expect(words).toContain(part);
    expect(words).not.toMatch(/\d (µm|g|dm²|°C|Ah\/L)\b/);
  });

  it('has its title in the file', async () => {
    const { title } = await pagesOf(await madeSheet(sheetAsked()));
    expect(title).toBe('Run sheet: Fluted bell lampshade');
  });
});

describe('a night that is not', () => {
  it('with no record and no recipe says so', async () => {
    const nothing = { recordedSeconds: 0, chargeAmpereHours: 0, energyWattHours: null, currentMeanAmps: null, currentMinAmps: null, currentMaxAmps: null, bathMeanCelsius: null, bathMinCelsius: null, bathMaxCelsius: null }; // prettier-ignore
    const record = aRecord({ recipe: null, deposit: null, phases: [], alarms: [], interruptions: [], happened: [], calibration: [], measures: nothing, endedAtMs: null, endedBecause: null, lastedUntilMs: STARTED_MS }); // prettier-ignore
    const { words } = await pageOf({ record, series: noSeries(), around: { bathAge: null, imported: null } });
    for (const part of ['Run 3', 'Nothing was logged of this run.', 'not known to this dashboard', 'none was told to this dashboard', 'no ledger was under this controller', 'not weighed before and after', 'Nobody has told its end.', 'The controller told nothing of it.'])
      expect(words).toContain(part);
  }); // prettier-ignore

  it('is over yet says so, and not that nobody has told its end', async () => {
    const { words } = await pageOf({ record: aRecord({ goesOn: true, endedAtMs: null, endedBecause: null }) });
    expect(words).toContain('It goes on.');
    expect(words).not.toContain('Nobody has told its end.');
  });

  it('was broken off, of the simulated bath, without a read temperature', async () => {
    const record = aRecord({ isSimulated: true, endedBecause: 'the longest run was over' });
    const series = aSeries({ temperatureCelsius: aSeries().startMs.map(() => null) });
    const { words } = await pageOf({ record, series });
    expect(words).toContain('Run sheet · SIMULATED');
    expect(words).toContain('It ended because the longest run was over.');
    expect(words).toMatch(/25 A/);
  });

  it('came from a file, and says from which and from whom', async () => {
    const imported: ImportedRun = { controllerId: 'imported:1', incarnation: 7, run: 3, startedAtMs: STARTED_MS, partName: null, recordCount: 1, eventCount: 1, alarmCount: 0, entryCount: 0, importedAtMs: WRITTEN_MS, importedBy: 'Mara', fileName: 'night.zip', original: { controllerId: 'south-bench', bathName: null, isSimulated: false } }; // prettier-ignore
    const { words } = await pageOf({ around: { bathAge: null, imported } });
    expect(words).toContain('IMPORTED');
    expect(words).toContain('by Mara from night.zip, where it was run 3 of south-bench');
  });

  test.each(['a4', 'letter'] as const)('with 200 alarms and the longest names is one page of %s that names what has no room', async (paper) => {
    const record = crowdedRecord();
    const { words } = await pageOf({ paper, record });
    // Accents, Greek, Polish and Russian come out as they went in.
    for (const part of ['Ünïcödé', 'Ωmega µ²', 'Łódź', 'Москва']) expect(words).toContain(part);
    const shown = words.match(/Alarm \d+ ·/g)?.length ?? 0;
    const more = Number(/(\d+) more alarms/.exec(words)?.[1]);
    expect(shown).toBeGreaterThan(3);
    expect(shown + more).toBe(200);
    const without = words.match(/Without current for/g)?.length ?? 0;
    expect(without + Number(/(\d+) more interruptions/.exec(words)?.[1])).toBe(30);
    expect(words).toMatch(/more alarms \(\d+ × Rotation stopped, \d+ × Bath warm; \d+ that nobody acknowledged\)/);
    expect(words).toContain(`in the logbook, run 3 of ${record.controllerId}`);
    expect(words).toContain('“Planned parts” is shortened here');
    expect(words).toContain('Plate, for 6 h 56 min.');
    expect(words).toContain('Looked at and kept by');
  }); // prettier-ignore

  test.each([0, 1, 7, 23, 60])('tells or counts each of %i alarms', async (count) => {
    const { words } = await pageOf({ record: weighedRecord({ alarms: alarmsOf(count) }) });
    const shown = words.match(/Alarm \d+ ·/g)?.length ?? 0;
    expect(shown + Number(/(\d+) more alarms?/.exec(words)?.[1] ?? 0)).toBe(count);
  });

  it('has a letter that the font lacks: a box stands for it, and the sheet says so', async () => {
    const record = aRecord({ bathName: '銅 60 L' });
    const { words } = await pageOf({ record });
    expect(words).toContain('Run 3 in □ 60 L');
    expect(words).toContain('□ stands for a letter that this PDF’s font lacks');
  });

  it('has such a letter only in a note that has no room: neither the box nor its words are on the sheet', async () => {
    const crowded = crowdedRecord();
    const last = { ...crowded.entries.at(-1)!, entryId: 99, note: '銅' };
    const { words } = await pageOf({ record: { ...crowded, entries: [...crowded.entries, last] } });
    expect(words).toMatch(/more notes/);
    expect(words).not.toContain('□');
  });
});

describe('the picture of the night', () => {
  it('keeps the spike of one second in a run of years', async () => {
    const spike = aSeries({ currentMaxAmps: aSeries().startMs.map((_, index) => (index === 240 ? 48 : 19)) });
    // The axis reaches as far as the greatest reading.
    expect((await pageOf({ series: spike })).words).toContain('50 A');
  });

  it('has only this run in it, and not what its controller did before', async () => {
    const run = aSeries().startMs.map((_, index) => (index < 100 ? 2 : 3));
    const most = run.map((one) => (one === 2 ? 90 : 19.4));
    expect((await pageOf({ series: aSeries({ run, currentMaxAmps: most }) })).words).not.toMatch(/100 A|90 A/);
  });
});
