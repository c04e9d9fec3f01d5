/* The ledger of a bath in a real browser: begun, written into, corrected by what it says, undone; and looked at with careful eyes. */
import { describe, expect, test } from 'vitest';
import { cannedEntries, careEntries, copperBath, shelveLedger, unworked, written } from './canned-ledger.js';
import { NIGHT_MS } from './canned-night.js';
import { PHONE, shot, WIDE } from './open-page.js';
import { looksRightNow, pageRoom } from './page-room.js';
import { controlsHeard } from './unnamed-controls.js';

const room = pageRoom();

test('a ledger is begun with a name, a kind of bath and a person, whose name the device keeps', async () => {
  room.server.shelves.set('/api/baths', []);
  room.server.shelves.set('/api/baths/1', { bath: copperBath, entries: [], worked: unworked, lowGoods: [] });
  room.server.answer = ({ path }) => (path === '/api/baths' ? { body: copperBath } : undefined);
  const page = await room.opened({ size: WIDE });
  await page.getByRole('link', { name: 'Ledger' }).click();
  await page.getByRole('button', { name: 'Begin it' }).click();
  await page.getByText('Give the bath a name.').waitFor();
  await page.getByText('Who did it? It stands with the entry.').waitFor();
  expect(room.server.asked).toEqual([]);
  await page.getByLabel('Name of the bath').fill('Copper 60 L');
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Begin it' }).click();
  await page.getByRole('heading', { level: 1, name: 'Copper 60 L' }).waitFor();
  expect(room.server.asked).toMatchObject([
    { method: 'POST', path: '/api/baths', body: { name: 'Copper 60 L', profile: 'bright-copper', who: 'Kim' } },
  ]);
  await page.getByText('Nothing is known of this bath yet.').waitFor();
  expect(await page.getByLabel('Your name').inputValue()).toBe('Kim');
});

test('a bath is made up: the masses stand there before anything is written', async () => {
  shelveLedger(room.server, []);
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByLabel('Volume of the finished bath').fill('60');
  await page
    .getByText('It took 53.7 L of water, 12 kg of salt, 2.38 L of 96 % acid, 7.42 g of sodium chloride.')
    .waitFor();
  await page.getByText('Acid into water').first().waitFor();
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByRole('heading', { name: 'What is in it' }).waitFor();
  expect(room.server.asked.at(-1)).toMatchObject({
    path: '/api/baths/1/entries',
    body: { who: 'Kim', body: { kind: 'made-up', litres: 60, from: 'chemicals' } },
  });
});

test('a low analysis says what to add, and what was added is written down with one press', async () => {
  shelveLedger(room.server);
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByText('It falls by').waitFor();
  await page.getByText('Between the last two levels 1.2 L went in').waitFor();
  const low = page.locator('.analyte[data-state="low"]');
  await low.getByText('low').first().waitFor();
  await page.getByText(/^Add 1\.\d+ kg of copper sulphate\.$/).waitFor();
  await page.getByRole('button', { name: /^Write down: 1\.\d+ kg of copper sulphate/ }).click();
  await page.getByLabel('Your name').fill('Robin');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('what was added since is counted in: analyse again').waitFor();
  expect(room.server.asked.at(-1)).toMatchObject({
    body: { who: 'Robin', body: { kind: 'addition', of: 'copper-sulphate', purityShare: 1 } },
  });
});

test('a titration is typed as it was read, in the bottle’s and the burette’s figures, and its result stands there', async () => {
  shelveLedger(room.server);
  const page = await room.opened({}, '/#ledger/1');
  await page.getByLabel('What was done').selectOption('An analysis');
  await page.getByLabel('Of what').selectOption('sulphuric acid H2SO4');
  await page.getByLabel('How it was found').selectOption('by titration with sodium hydroxide');
  await page.getByLabel('Bath in the flask').fill('5');
  await page.getByLabel('Titrant until the end point').fill('7,1');
  await page.getByText('Sulphuric acid H2SO4: 69.6 g/L, by sodium hydroxide: 7.1 mL of 1 mol/L for 5 mL of bath.').waitFor();
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('Written.').waitFor();
}); // prettier-ignore

test('a slip of the keyboard is asked about in the person’s units, and kept only when somebody says so again', async () => {
  shelveLedger(room.server);
  const question = '300 L were read, and by the ledger some 58 L are to be there.';
  room.server.answer = ({ body }) =>
    (body as { isConfirmed?: boolean }).isConfirmed === true
      ? { body: {} }
      : { status: 409, body: { error: 'This entry is doubtful, and was not written down yet.', problems: [question] } };
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByLabel('What was done').selectOption('The level was read');
  await page.getByRole('textbox', { name: /^Volume/ }).fill('300');
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText(question).waitFor();
  await page.getByRole('combobox', { name: 'Units' }).selectOption('imperial');
  await page.getByText(/^79\.3 US gal were read, and by the ledger some 15\.3 US gal/).waitFor();
  await page.getByRole('combobox', { name: 'Units' }).selectOption('metric');
  await page.getByRole('button', { name: 'Correct it and send again' }).waitFor();
  const allTheSame = page.getByRole('button', { name: 'It is right: write it down all the same' });
  await page.getByRole('textbox', { name: /^Volume/ }).fill('301');
  await allTheSame.waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Write it down' }).click();
  await looksRightNow(page, 'ledger-doubtful-wide');
  await allTheSame.click();
  await page.getByText('Written.').waitFor();
  expect(room.server.asked.at(-1)).toMatchObject({ body: { isConfirmed: true, body: { kind: 'level', litres: 301 } } });
}); // prettier-ignore

test('an entry is undone with a reason, and stays with it', async () => {
  shelveLedger(room.server);
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByText('by Robin: it went into the small bath').waitFor();
  await page.getByRole('button', { name: 'Undo: Added 3 L of water.' }).click();
  const form = page.getByRole('form', { name: 'Undo this entry' });
  await form.getByRole('button', { name: 'Undo it' }).click();
  await form.getByText('Say in a few words why.').waitFor();
  await form.getByLabel('Why').fill('it was the rinse');
  await form.getByLabel('Your name').fill('Kim');
  await form.getByRole('button', { name: 'Undo it' }).click();
  await page.getByText('by Kim: it was the rinse').waitFor();
  expect(room.server.asked.at(-1)).toMatchObject({
    path: '/api/baths/1/entries/6/undo',
    body: { who: 'Kim', reason: 'it was the rinse' },
  });
});

test('a refusal of the dashboard is shown with everything that it lists, and what was typed stays', async () => {
  shelveLedger(room.server);
  room.server.answer = () => ({
    status: 400,
    body: { error: 'The entry does not fit.', problems: ['note: too long.'] },
  });
  const page = await room.opened({}, '/#ledger/1');
  await page.getByLabel('What was done').selectOption('The level was read');
  await page.getByLabel('Volume at the mark').fill('58');
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('note: too long.').waitFor();
  expect(await page.getByLabel('Volume at the mark').inputValue()).toBe('58');
});

test('a real bath that an older ledger has under a simulated controller says that those runs do not count', async () => {
  shelveLedger(room.server, cannedEntries, copperBath, { ...unworked, uncountedControllerId: 'north-bench' });
  const page = await room.opened({ size: PHONE }, '/#ledger/1');
  await page.getByText('It was put under north-bench, but only one of the two is simulated').waitFor();
});

test('brightener that the charge has used up is due, on the ledger and at the bath, and is written down with one press', async () => {
  const rate = { kind: 'brightener-rate', litresPerKiloampereHour: 0.3, doseMillilitres: 80, source: 'the supplier’s sheet' } as const; // prettier-ignore
  const worked = {
    controllerId: 'north-bench',
    uncountedControllerId: null,
    millicoulombs: 2.16e9,
    sinceDoseMillicoulombs: 1.08e9,
    dosedAtMs: null,
    atEntries: {},
  };
  shelveLedger(room.server, [...cannedEntries, written(10, 50, rate)], copperBath, worked);
  room.server.shelves.set('/api/controllers/north-bench/ledger-reminders', [
    { bathId: 1, words: '“Copper 60 L” wants brightener: 300 Ah since the last dose have used up 90 mL.' },
  ]);
  const page = await room.opened({ size: WIDE });
  await page.getByText('“Copper 60 L” wants brightener').waitFor();
  await page.getByRole('link', { name: 'To its ledger' }).click();
  await page.getByText('600 Ah, under north-bench now.').waitFor();
  await page.getByText('Brightener is due: 300 Ah have used up 90 mL, at 0.3 L/kAh (the supplier’s sheet).').waitFor();
  await page.getByRole('button', { name: 'I dosed it: write it down' }).click();
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down', exact: true }).click();
  await page.getByText('Written.').waitFor();
  expect(room.server.asked.at(-1)).toMatchObject({
    body: { body: { kind: 'addition', of: 'brightener', amount: 90 } },
  });
});

test('what the bath takes and is running low in the stock is told in its ledger and at the bath, with the way to the stock', async () => {
  const low = { of: 'brightener', isBegun: true, amount: 310, costOfOne: 0.02, lowAt: 500, isLow: true, missedAtCount: null } as const; // prettier-ignore
  shelveLedger(room.server, cannedEntries, copperBath, undefined, [low, { ...low, of: 'water', amount: -20, lowAt: 2000 }]);
  const words = '“Copper 60 L” takes brightener, running low: 310 mL left, at least 500 mL were to be there.';
  room.server.shelves.set('/api/controllers/north-bench/ledger-reminders', [{ bathId: null, words }]);
  const page = await room.opened({ size: WIDE });
  await page.getByText(words).waitFor();
  expect(await page.getByRole('link', { name: 'To the stock' }).getAttribute('href')).toBe('#stock');
  const ledger = await room.opened({}, '/#ledger/1');
  await ledger.getByText('Running low: brightener. 310 mL are left, at least 500 mL were to be there.').waitFor();
  await ledger.getByText('Running low: water. By the books nothing is left, at least 2 L were to be there.').waitFor();
  await ledger.getByRole('combobox', { name: 'Units' }).selectOption('imperial');
  await ledger.getByText('Running low: brightener. 10.5 US fl oz are left').waitFor();
}); // prettier-ignore

test('a bath is put under one of the controllers that there are', async () => {
  shelveLedger(room.server);
  const page = await room.opened({}, '/#ledger/1');
  await page.getByText('It stands under no controller').waitFor();
  await page.getByText('There is no usual rate').waitFor();
  await page.getByLabel('What was done').selectOption('It was put under a controller');
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('Written.').waitFor();
  expect(room.server.asked.at(-1)).toMatchObject({ body: { body: { kind: 'put-on', controllerId: 'north-bench' } } });
});

test('everything is told in imperial units for whoever wants them', async () => {
  shelveLedger(room.server);
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByLabel('Units').selectOption('Imperial');
  await page.getByText('15.5 US gal').first().waitFor();
  await page.getByText('The level was read: 15.5 US gal.').waitFor();
  expect(await page.locator('.analyte').first().innerText()).toMatch(/oz\/US gal/);
});

test('the numbers beside a small drawing have their unit, and stand within it', async () => {
  shelveLedger(room.server);
  const page = await room.opened({ size: PHONE }, '/#ledger/1');
  const numbers = page.locator('.analysis-chart text');
  await numbers.first().waitFor();
  const withoutPlace = () =>
    numbers.evaluateAll((all) =>
      all
        .filter((one) => one.getBoundingClientRect().left < one.closest('svg')!.getBoundingClientRect().left)
        .map((one) => one.textContent),
    );
  for (const words of await numbers.allTextContents()) expect(words).toMatch(/^\d+(\.\d+)? (g\/L|mg\/L|L)$/);
  expect(await withoutPlace()).toEqual([]);
  await page.getByLabel('Units').selectOption('Imperial');
  await page
    .getByText(/oz\/US gal/)
    .first()
    .waitFor();
  for (const words of await numbers.allTextContents()) expect(words).toMatch(/^\d+(\.\d+)? (oz\/US gal|mg\/L|US gal)$/);
  expect(await withoutPlace()).toEqual([]);
  await shot(page, 'ledger-imperial-phone');
});

test('a Hull cell panel is typed stretch by stretch, and stands there drawn with its current densities', async () => {
  shelveLedger(room.server);
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByLabel('What was done').selectOption('A Hull cell panel');
  await page.getByLabel('From the edge of the highest current density on').selectOption('burnt');
  await page.getByLabel('up to').fill('10');
  await page.getByLabel('From there on').selectOption('bright');
  await page.getByLabel('up to').nth(1).fill('80');
  // 1 A at 1 and 8 cm: 5.10 and 0.368 A/dm² (Metal Finishing Guidebook 2013, p. 482, in metric).
  await page.getByText('burnt up to 10 mm (above 5.1 A/dm²); bright from 10 to 80 mm (5.1 to 0.37 A/dm²).').waitFor();
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByRole('img', { name: /^Panel of 102 mm: burnt up to 10 mm/ }).waitFor();
  expect(room.server.asked.at(-1)).toMatchObject({
    body: { body: { kind: 'hull-cell', seen: [{ look: 'burnt', fromMm: 0, toMm: 10 }, { look: 'bright', fromMm: 10, toMm: 80 }] } },
  });
}); // prettier-ignore

test('waste that waits is handed over with one press and a name, and nothing is said without “never the drain”', async () => {
  shelveLedger(room.server, [...cannedEntries, ...careEntries]);
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByText('4 L of bath solution waits to be handed over; 2 L of bath solution handed over so far.').waitFor();
  await page.getByRole('button', { name: 'Write down that it was handed over: bath solution' }).click();
  const form = page.getByRole('form', { name: 'Write into the ledger' });
  await form.getByText('Never the drain; your local rules decide.').waitFor();
  expect(await form.getByLabel('How much').inputValue()).toBe('4');
  await form.getByLabel('To whom').fill('a licensed carrier');
  await form.getByLabel('Your name').fill('Kim');
  await form.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('No bath solution waits; 6 L of bath solution handed over so far.').waitFor();
}); // prettier-ignore

test('care that is due by its days is said, what is not due stands beside it, and doing it is written down', async () => {
  shelveLedger(room.server, [...cannedEntries, ...careEntries]);
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByText('Carbon treatment is due: 8 days and 0.00 Ah since the last; every 7 days.').waitFor();
  await page.getByText('Filtration: 9 days and 0.00 Ah since the last; every 30 days or 500 Ah.').waitFor();
  await page.getByRole('button', { name: 'Write down: carbon treatment' }).click();
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down', exact: true }).click();
  await page.getByText('Carbon treatment: 0 days and 0.00 Ah since the last; every 7 days.').waitFor();
});

test('what went between two levels is held against what evaporates, once somebody wrote down how the tank stands open', async () => {
  shelveLedger(room.server);
  const page = await room.opened({ size: WIDE }, '/#ledger/1');
  await page.getByText('Write down how the tank stands open').waitFor();
  await page.getByLabel('What was done').selectOption('How the tank stands open');
  await page.getByLabel('Open surface').fill('12');
  await page.getByLabel('Its usual temperature').fill('24');
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down', exact: true }).click();
  await page.getByText(/Evaporation was to take between [\d.]+ L and [\d.]+ L\. It was less: a cover/).waitFor();
});

test('a level that was read minutes after making up is no leak, and the volume before it was made up and not read', async () => {
  const tank = written(8, -0.02, { kind: 'tank', openSurfaceDm2: 12, bathCelsius: 24, isAirAgitated: false });
  const madeUp = cannedEntries.filter(({ body }) => body.kind === 'made-up');
  shelveLedger(room.server, [...madeUp, tank]);
  const page = await room.opened({ size: PHONE }, '/#ledger/1');
  await page.getByText(/60 L made up .*, with what was added and drawn off since/).waitFor();
  shelveLedger(room.server, [...madeUp, tank, { ...madeUp[0]!, entryId: 99, atMs: madeUp[0]!.atMs + 1_380_000, body: { kind: 'level', litres: 58.5 } }]); // prettier-ignore
  await page.reload();
  await page.getByText(/From the volume that was made up, .* 1\.5 L went in 23\smin\. Less than 24 h say nothing of evaporation\./).waitFor(); // prettier-ignore
  await page.getByText(/58\.5 L read /).waitFor();
});

test('anodes are told by what they lost against Faraday’s law', async () => {
  // 300 Ah dissolve 355.6 g (1.1855 g/Ah); 8000 + 400 - 8044.4 were lost.
  const worked = { ...unworked, millicoulombs: 1.44e9, atEntries: { 21: 0, 23: 1.08e9 } };
  shelveLedger(room.server, [...cannedEntries, ...careEntries], copperBath, worked);
  const page = await room.opened({}, '/#ledger/1');
  // On a phone it is folded.
  await page.getByText('Tests, anodes, waste').click();
  await page.getByText('356 g lost in 300 Ah; Faraday’s law dissolves 356 g. Anode efficiency 100 %.').waitFor();
  // What the 100 Ah since take from 8044.4 g.
  await page.getByText('100 Ah dissolved 119 g since, by Faraday’s law: some 7.926 kg now.').waitFor();
});

describe('the ledger', () => {
  test('fits and can be read on a phone and a wide screen, by day and by night', { timeout: 120_000 }, async () => {
    shelveLedger(room.server, [...cannedEntries, ...careEntries]);
    await room.looksRight('ledger', '/#ledger/1', (page) => page.getByRole('heading', { name: 'Entries' }).waitFor());
    await room.looksRight('ledgers', '/#ledger', (page) => page.getByRole('link', { name: 'Copper 60 L' }).waitFor());
  });

  test('fits and can be read while it is written into: a panel, faults, an undoing, a bath without entries, imperial units', { timeout: 180_000 }, async () => {
    shelveLedger(room.server, [...cannedEntries, ...careEntries]);
    await room.looksRight('ledger-panel', '/#ledger/1', async (page) => {
      await page.getByLabel('What was done').selectOption('A Hull cell panel');
      await page.getByRole('textbox', { name: 'up to' }).fill('10');
      await page.locator('details.fold').evaluateAll((all) => {
        for (const one of all as HTMLDetailsElement[]) one.open = true;
      });
      await page.getByText('burnt up to 8 mm (above').first().waitFor();
    });
    await room.looksRight('ledger-faults', '/#ledger/1', async (page) => {
      await page.getByLabel('Units').selectOption('Imperial');
      await page.getByLabel('What was done').selectOption('Something was drawn off or collected as waste');
      await page.getByRole('button', { name: 'Write it down', exact: true }).click();
      await page.getByText('Write a few words.').waitFor();
    });
    await room.looksRight('ledger-undo', '/#ledger/1', async (page) => {
      await page.getByRole('button', { name: 'Undo: Added 3 L of water.' }).click();
      await page.getByRole('form', { name: 'Undo this entry' }).waitFor();
    });
    shelveLedger(room.server, []);
    await room.looksRight('ledger-empty', '/#ledger/1', (page) => page.getByText('Nothing is known of this bath yet.').waitFor());
  }); // prettier-ignore

  test('has a role and a name for each of its controls', async () => {
    shelveLedger(room.server);
    const page = await room.opened({}, '/#ledger/1');
    await page.getByRole('button', { name: 'Undo: Added 3 L of water.' }).click();
    const heard = await controlsHeard(page);
    expect(heard.faults).toEqual([]);
    expect(heard.count).toBeGreaterThan(20);
  });

  test('says that it does not know a bath that is not there', async () => {
    const page = await room.opened({}, '/#ledger/9');
    await page.getByText('The fixture has nothing there.').waitFor();
    await page.getByRole('link', { name: 'All baths' }).waitFor();
  });
});

test('a note is text: no script of it ever runs', async () => {
  const note = '<img src=x onerror="document.title=\'run\'"><b>bold</b>';
  shelveLedger(room.server, [
    { entryId: 1, atMs: NIGHT_MS, writtenAtMs: NIGHT_MS, who: 'Kim', note, body: { kind: 'note' }, undone: null },
  ]);
  const page = await room.opened({}, '/#ledger/1');
  await page.getByText(note).waitFor();
  expect(await page.title()).not.toBe('run');
});
