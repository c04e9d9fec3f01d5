/*
 * What people write into the record of a run, in a real browser: notes, weighings with the question of Faraday's law, photographs drawn anew in the device. And
 * that words stay words: nothing that somebody wrote is ever run.
 */
import type { Page } from 'playwright-core';
import { type RunRecord, weighedDeposit, weighingsOf } from '@bathkeeper/shared-core/trade';
import { beforeEach, describe, expect, test } from 'vitest';
import { photographKind } from '../../dashboard/server/logbook/photograph-kind.js';
import { aRecord, ENDED_MS } from '../shared-core/trade/run-record/a-record.js';
import { cameraJpeg, withExif } from './camera-jpeg.js';
import { entries, note, photograph, weighing } from './canned-entries.js';
import { cannedSeries } from './canned-series.js';
import { WIDE } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';
import { controlsHeard } from './unnamed-controls.js';

const room = pageRoom();
const PATH = '/api/runs/north-bench/7/3';
const ADDRESS = '/#run/north-bench/7/3';

let record: RunRecord;
beforeEach(() => {
  record = aRecord();
  room.server.shelves.set('/api/series', cannedSeries);
  room.server.shelves.set(PATH, (): RunRecord => record);
});
const wrote = (...written: RunRecord['entries']): void => {
  const both = weighingsOf(written);
  const weighed = both === undefined ? null : weighedDeposit(both, { recipe: record.recipe, chargeAmpereHours: 154.2 });
  record = { ...record, entries: written, weighed };
};
const asked = (): unknown => room.server.asked.at(-1);
const noteField = (page: Page) => page.getByRole('textbox', { name: 'Note' });
const nameHim = (page: Page) => page.getByLabel('Your name').fill('Robin');

describe('a note', () => {
  test('is written with a name, shown when it is there, and asked for words', async () => {
    room.server.answer = ({ body }) => {
      wrote(note((body as { note: string }).note));
      return { body: record.entries[0] };
    };
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await page.getByRole('button', { name: 'Write a note' }).click();
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.getByText('Write a few words.').waitFor();
    await page.getByText('Who did it? It stands with the entry.').waitFor();
    expect(room.server.asked).toEqual([]);
    await noteField(page).fill('The belt slipped at ten.');
    await page.getByLabel('When').fill('2026-02-10T00:30');
    await nameHim(page);
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.getByText('The belt slipped at ten.').waitFor();
    expect(asked()).toEqual({
      method: 'POST',
      path: `${PATH}/entries`,
      body: {
        who: 'Robin',
        note: 'The belt slipped at ten.',
        atMs: Date.UTC(2026, 1, 10, 0, 30),
        body: { kind: 'note' },
      },
    });
    await page.getByRole('form', { name: 'Write a note' }).waitFor({ state: 'detached' });
  });

  test('is corrected, and undone, with a reason; what was typed stays when it is refused', async () => {
    wrote(note('The belt slipped at ten.'));
    room.server.answer = () => ({
      status: 409,
      body: { error: 'Somebody has undone this entry already.', problems: [] },
    });
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await page.getByRole('button', { name: /^Correct: Note/ }).click();
    await noteField(page).fill('The belt slipped at eleven.');
    await nameHim(page);
    await page.getByRole('button', { name: 'Correct it' }).click();
    await page.getByText('Say in a few words why.').waitFor();
    await page.getByLabel('Why').fill('Read the clock wrong');
    await page.getByRole('button', { name: 'Correct it' }).click();
    await page.getByText('Somebody has undone this entry already.').waitFor();
    expect(asked()).toEqual({
      method: 'POST',
      path: `${PATH}/entries/2/correct`,
      body: { who: 'Robin', note: 'The belt slipped at eleven.', reason: 'Read the clock wrong' },
    });
    expect(await noteField(page).inputValue()).toBe('The belt slipped at eleven.');
    await page.getByRole('button', { name: 'Leave it' }).click();
    await page.getByRole('button', { name: /^Undo: Note/ }).click();
    await page.getByLabel('Why').fill('Of another run');
    await page.getByRole('button', { name: 'Undo it' }).click();
    await eventually(asked).toEqual({
      method: 'POST',
      path: `${PATH}/entries/2/undo`,
      body: { who: 'Robin', reason: 'Of another run' },
    });
  });
});

describe('pressed twice', () => {
  test('a form is sent once: nothing is written down a second time', async () => {
    room.server.answer = ({ body }) => {
      wrote(...record.entries, note((body as { note: string }).note));
      return { body: record.entries[0] };
    };
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await page.getByRole('button', { name: 'Write a note' }).click();
    await noteField(page).fill('The belt slipped at ten.');
    await nameHim(page);
    await page.getByRole('form', { name: 'Write a note' }).evaluate((form: HTMLFormElement) => {
      form.requestSubmit();
      form.requestSubmit();
    });
    await page.getByText('The belt slipped at ten.').waitFor();
    await page.getByRole('form', { name: 'Write a note' }).waitFor({ state: 'detached' });
    expect(room.server.asked).toHaveLength(1);
  });
});

describe('words stay words', () => {
  const HOSTILE =
    '<img src="/nothing" onerror="window.harmed = 1"><script>window.harmed = 2</script><b id="harm">x</b> {{7*7}} javascript:harm()';
  test('in a note, a caption, a part, a name, a reason, an alarm: they are read, and never run', async () => {
    const undone = { atMs: ENDED_MS, who: HOSTILE, reason: HOSTILE };
    wrote(
      note(HOSTILE, { who: HOSTILE }),
      note(HOSTILE, { entryId: 3, undone }),
      photograph(HOSTILE),
      weighing('before', 812, 1),
    );
    record = {
      ...record,
      bathName: HOSTILE,
      recipe: { ...record.recipe!, partName: HOSTILE },
      alarms: record.alarms.map((one) => ({
        ...one,
        alarm: { ...one.alarm, title: HOSTILE, detail: HOSTILE, acknowledgedBy: HOSTILE },
      })),
      happened: [{ atMs: ENDED_MS, words: HOSTILE }],
    };
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await page.getByRole('heading', { level: 1, name: '<img src=' }).waitFor();
    await page.getByText('Undone', { exact: false }).first().waitFor();
    const found = await page.evaluate(() => ({
      harmed: (window as { harmed?: number }).harmed,
      elements: document.querySelectorAll('#harm, img[onerror], main script').length,
      asText: document.body.innerText.split('<script>window.harmed = 2</script>').length - 1,
      alternative: document.querySelector('img')?.alt,
    }));
    expect(found).toMatchObject({ harmed: undefined, elements: 0, alternative: HOSTILE });
    // Heading, bath, two notes, two who, reason, caption, two alarms with their button and line, what happened.
    expect(found.asText).toBeGreaterThan(10);
  });
});

describe('a weighing', () => {
  const weigh = async (page: Page, grams: string): Promise<void> => {
    await page.getByRole('button', { name: 'Weigh the part' }).click();
    await page.getByLabel('Weight').fill(grams);
    await page.getByLabel('The balance is right within').fill('0.1');
    await nameHim(page);
  };

  test('before and after gives deposit, efficiency and thickness, which open to their formula', async () => {
    wrote(...entries);
    const page = await room.opened({ size: WIDE }, ADDRESS);
    // 177.6 g of at most 182.8 g (154.2 Ah × 1.1855 g/Ah, computed from the SI) are 97.2 %.
    await page.getByText(/^97.2 % \(9/).click();
    await page.getByText('= deposit by the balance ÷ (charge × metal for an ampere-hour)').waitFor();
    await page.getByText('Weighed after the run: 989.6 g, right within 0.1 g').waitFor();
  });

  test('is typed in ounces by whoever thinks in them, and kept in grams', async () => {
    room.server.answer = () => ({ body: weighing('before', 812, 1) });
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await page.getByLabel('Units').selectOption('imperial');
    await weigh(page, '28.6');
    await page.getByRole('button', { name: 'Write it down' }).click();
    // 1 oz = 28.349523125 g (NIST SP 811).
    await eventually(() => room.server.asked.length).toBe(1);
    expect((asked() as { body: { body: { grams: number } } }).body.body.grams).toBeCloseTo(810.7964, 3);
  });

  test('that cannot be so is asked about, and kept only when somebody says so again', async () => {
    wrote(weighing('before', 812, 1));
    const question = '400 g of copper cannot have come from 154.2 Ah.';
    room.server.answer = ({ body }) =>
      (body as { isConfirmed?: boolean }).isConfirmed === true
        ? { body: weighing('after', 1212, 5) }
        : {
            status: 409,
            body: { error: 'This weight is doubtful, and was not written down yet.', problems: [question] },
          };
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await weigh(page, '1212');
    expect(await page.getByRole('combobox', { name: /^Weighed/ }).inputValue()).toBe('after');
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.getByText(question).waitFor();
    const allTheSame = page.getByRole('button', { name: 'It is right: write it down all the same' });
    await allTheSame.waitFor();
    await page.getByRole('button', { name: 'Correct it and send again' }).waitFor();
    await page.getByLabel('Weight').fill('1213');
    await allTheSame.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Write it down' }).click();
    await allTheSame.click();
    await page.getByRole('form', { name: 'Weigh the part' }).waitFor({ state: 'detached' });
    expect(asked()).toMatchObject({ body: { isConfirmed: true, body: { when: 'after', grams: 1213 } } });
  });
});

describe('a photograph', () => {
  test('is drawn anew: turned upright, small enough, without the notes of the camera, and seen before it is sent', async () => {
    room.server.answer = () => {
      wrote(photograph('The rim'));
      return { body: record.entries[0] };
    };
    const page = await room.opened({ size: WIDE }, ADDRESS);
    const original = withExif(Buffer.from(await cameraJpeg(page, 3000, 2000), 'base64'));
    expect(original.length).toBeGreaterThan(2_000_000);
    expect(photographKind(original)).toHaveProperty('fault');
    await page.getByRole('button', { name: 'Add a photograph' }).click();
    await page
      .getByLabel('Choose a picture')
      .setInputFiles({ name: 'rim.jpg', mimeType: 'image/jpeg', buffer: original });
    await page.getByRole('img', { name: 'The photograph as it will be kept' }).waitFor({ timeout: 60_000 });
    await page.getByLabel('What is seen in it').fill('The rim');
    await nameHim(page);
    await page.getByRole('button', { name: 'Add it' }).click();
    room.server.shelves.set(`${PATH}/photographs/4`, original);
    await page.getByRole('img', { name: 'The rim' }).waitFor();
    const { path, body } = asked() as { path: string; body: { query: object; bytes: Buffer } };
    expect(path).toBe(`${PATH}/photographs`);
    expect(body.query).toEqual({ who: 'Robin', note: 'The rim' });
    expect(body.bytes.length).toBeLessThanOrEqual(2_000_000);
    const kind = photographKind(body.bytes) as { widthPixels: number; heightPixels: number };
    expect(kind).toMatchObject({ type: 'image/jpeg' });
    expect(kind.heightPixels / kind.widthPixels).toBeCloseTo(1.5, 2);
    expect(kind.heightPixels).toBeLessThanOrEqual(2560);
  }, 120_000);

  test('that is none is refused in words, and nothing is sent', async () => {
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await page.getByRole('button', { name: 'Add a photograph' }).click();
    await nameHim(page);
    await page.getByRole('button', { name: 'Add it' }).click();
    await page.getByText('Take or choose a picture first.').waitFor();
    const buffer = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>');
    await page.getByLabel('Choose a picture').setInputFiles({ name: 'rim.heic', mimeType: 'image/heic', buffer });
    await page.getByText(/^rim\.heic: expected a picture that this browser can show.*got image\/heic/).waitFor();
    await page.getByRole('button', { name: 'Add it' }).click();
    expect(room.server.asked).toEqual([]);
  });

  test('has its words corrected', async () => {
    wrote(photograph('The run'));
    room.server.answer = () => {
      wrote(photograph('The rim'));
      return { body: record.entries[0] };
    };
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await page.getByRole('button', { name: /^Correct: Photograph/ }).click();
    await page.getByRole('textbox', { name: 'What is seen in it' }).fill('The rim');
    await page.getByLabel('Why').fill('Misspelt');
    await nameHim(page);
    await page.getByRole('button', { name: 'Correct it' }).click();
    await page.getByRole('img', { name: 'The rim' }).waitFor();
    expect(asked()).toEqual({
      method: 'POST',
      path: `${PATH}/entries/4/correct`,
      body: { who: 'Robin', note: 'The rim', reason: 'Misspelt' },
    });
  });

  test.each([
    ['smaller than the page', 640, 480, 1280],
    ['wider than the page', 1600, 400, 360],
    ['higher than most of the window', 480, 1600, 360],
  ])('%s keeps its place before it is there', async (_, widthPixels, heightPixels, width) => {
    const taken = photograph('The rim');
    wrote({ ...taken, body: { ...taken.body, widthPixels, heightPixels } as typeof taken.body });
    const makes = await room.opened({ size: WIDE });
    const bytes = Buffer.from(await cameraJpeg(makes, widthPixels, heightPixels), 'base64');
    const page = await room.opened({ size: { width, height: 740 } });
    let letGo = (): void => undefined;
    const held = new Promise<void>((resolve) => (letGo = resolve));
    await page.route(`**${PATH}/photographs/4`, async (route) => {
      await held;
      await route.fulfill({ contentType: 'image/jpeg', body: bytes });
    });
    await page.goto(new URL(ADDRESS, page.url()).href);
    const image = page.getByRole('img', { name: 'The rim' });
    await image.scrollIntoViewIfNeeded();
    // Without its border.
    const sizeOf = () => image.evaluate(({ clientWidth: wide, clientHeight: high }) => ({ wide, high }));
    const before = await sizeOf();
    expect(before.high).toBeGreaterThan(50);
    expect(before.wide / before.high).toBeCloseTo(widthPixels / heightPixels, 1);
    expect(before.high).toBeLessThanOrEqual(0.7 * 740);
    letGo();
    await eventually(() => image.evaluate((element: HTMLImageElement) => element.naturalWidth)).toBe(widthPixels);
    const after = await sizeOf();
    expect(after.wide).toBeCloseTo(before.wide, 0);
    expect(after.high).toBeCloseTo(before.high, 0);
  });

  test('that was undone is shown only to whoever opens it', async () => {
    const undone = { atMs: ENDED_MS, who: 'Ola', reason: 'Of another part' };
    wrote(photograph('The rim', { undone }));
    const page = await room.opened({ size: WIDE }, ADDRESS);
    await page.getByText('by Ola: Of another part').waitFor();
    expect(await page.getByRole('img', { name: 'The rim' }).isVisible()).toBe(false);
    await page.getByText('Photograph: The rim').click();
    await page.getByRole('img', { name: 'The rim' }).waitFor();
  });
});

describe('the record with what was written', () => {
  test('looks right on a phone and on a wide screen, by day and by night, with each form open', async () => {
    wrote(...entries);
    const makes = await room.opened({ size: WIDE });
    room.server.shelves.set(`${PATH}/photographs/4`, Buffer.from(await cameraJpeg(makes, 640, 480), 'base64'));
    const open = (words: string, then: RegExp) => async (page: Page) => {
      await page.getByRole('button', { name: words }).click();
      await page.getByRole('button', { name: then }).click();
      await page.getByRole('button', { name: /^(Undo|Correct) it$/ }).waitFor();
    };
    await room.looksRight('run-weighing', ADDRESS, open('Weigh the part', /^Undo: Note/));
    await room.looksRight('run-photograph', ADDRESS, open('Add a photograph', /^Correct: Note/));
  }, 120_000);

  test('has a role and a name for every control', async () => {
    wrote(...entries);
    for (const words of ['Weigh the part', 'Add a photograph']) {
      const page = await room.opened({}, ADDRESS);
      await page.getByRole('button', { name: words }).click();
      await page.getByRole('button', { name: /^Correct: Note/ }).click();
      const heard = await controlsHeard(page);
      expect(heard.faults).toEqual([]);
      expect(heard.count).toBeGreaterThan(20);
    }
  });
});
