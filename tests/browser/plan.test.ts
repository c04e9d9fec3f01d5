/* The plan's room in a real browser: from parts to figures with their reasons, in either units, and nothing that was typed lost on the way. */
import { readFileSync } from 'node:fs';
import { type AskedOfPlan, planInShort, planOf, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { WIDE } from './open-page.js';
import { pageRoom } from './page-room.js';
import { plannedPlate } from './planned-plate.js';

const room = pageRoom();

/** What the core says of the same: the page may say nothing else. */
function inShort(asked: AskedOfPlan, units: UnitSystem = 'metric'): string {
  const parts = [{ name: 'Part', pieces: 1, areaDm2: 12 }];
  const planned = planOf({ bath: 'bright-copper', averageThicknessMicrometres: 300, ...asked, parts });
  if ('faults' in planned) throw new Error(planned.faults.join(' '));
  return planInShort(planned.plan, units).join(' ');
}

describe('the plan', () => {
  test('asks for a part first', async () => {
    const page = await room.opened({}, '/#plan');
    await page.getByRole('link', { name: 'a model, a simple shape or an area' }).click();
    await page.getByRole('heading', { level: 1, name: 'Which part goes into the bath?' }).waitFor();
  });

  test('of a model says what its shape tells: recesses, edges, and how its area grows', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await page.getByRole('button', { name: 'Try the demonstration bell' }).click();
    await page.locator('.part-canvas[data-marks="true"]').waitFor({ timeout: 60_000 });
    await page.getByRole('link', { name: 'What does tonight need? The plan' }).click();
    await page.getByText('Average thickness, as the area grows with it').waitFor();
    const thin = page.locator('details.figure', { hasText: /^Thin place/ }).first();
    await thin.locator('summary').click();
    await thin.getByText(/^Directions that the least open places see: \d+(\.\d+)? %$/).waitFor();
    expect(await page.getByText('How thin recesses get').count()).toBe(0);
  });

  test('offers the efficiency that was weighed in a bath of this kind, and takes it or the table’s as the person says', async () => {
    const measured = {
      bathName: 'Copper 60 L',
      isSimulated: false,
      profile: 'bright-copper',
      runCount: 4,
      chargeAmpereHours: 600,
      gainedGrams: 690,
      cathodeEfficiency: 0.9712,
      low: 0.959,
      high: 0.984,
      leastOfRuns: 0.9581,
      mostOfRuns: 0.986,
    } as const;
    room.server.shelves.set('/api/measured-efficiency', [
      measured,
      { ...measured, bathName: 'Nickel', profile: 'watts-nickel' },
    ]);
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    await page
      .getByText(
        'Weighed in Copper 60 L: 97.1 % over 4 runs, each 95.8 to 98.6 %; within 95.9 to 98.4 % by balance and count of charge.',
      )
      .waitFor();
    expect(await page.getByText('Weighed in Nickel').count()).toBe(0);
    await page.getByText(inShort({})).waitFor();
    await page.getByRole('button', { name: 'Plan with 97.1 %' }).click();
    await page.getByText(inShort({ cathodeEfficiency: 0.971 })).waitFor();
    await page.getByRole('button', { name: 'Planned with 97.1 %: take the table’s value again' }).click();
    await page.getByText(inShort({})).waitFor();
  });

  test('shows the night ahead as a band that is read by touching it, and as a table', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    const band = page.getByRole('img', { name: /^The night ahead, [67]:\d\d h/ });
    const frame = (await band.boundingBox())!;
    await band.hover({ position: { x: frame.width / 2, y: frame.height / 2 } });
    await page.getByText(/^After 3:\d\d h: 48 A, \d+ µm on average, supply [\d.]+ to [\d.]+ V$/).waitFor();
    await page.getByText('Tank, and whether the part floats').click();
    await page.getByLabel(/^Or only the volume of the bath/).fill('60');
    await page.getByRole('img', { name: /the bath at \d+ to \d+ °C in the end\.$/ }).waitFor();
    await page.getByText('The night ahead as a table').click();
    await page.getByRole('columnheader', { name: 'Bath' }).waitFor();
    expect(await page.getByRole('rowheader').first().textContent()).toBe('0:00');
  });

  test('opens each figure to its formula, what went into it and its source', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    const charge = page.locator('details.figure', { hasText: /^Charge/ }).first();
    await charge.locator('summary').click();
    await charge.getByText(/^Source: /).waitFor();
    expect(await charge.getByText(/^= /).isVisible()).toBe(true);
    expect(await page.locator('details.figure').count()).toBeGreaterThan(20);
    for (const source of await page.locator('details.figure > p.unit').allTextContents())
      expect(source).toMatch(/^Source: \S/);
  });

  test('takes what is typed along into the other units and back', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    await page.getByLabel(/^Largest current of the supply/).fill('30');
    await page.getByText(inShort({ supplyAmpsMax: 30 })).waitFor();
    await page.getByLabel('Units').selectOption('imperial');
    // 300 µm are 11.81 mil to the four digits that are shown; what was typed is still what is planned.
    expect(await page.getByLabel(/^Average thickness mil/).inputValue()).toBe('11.81');
    await page.getByText(inShort({ supplyAmpsMax: 30 }, 'imperial')).waitFor();
    await page.reload();
    expect(await page.getByLabel('Units').inputValue(), 'kept on this device').toBe('imperial');
  });

  test('says at the field what is no number, and refuses in words what cannot be', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    await page.getByLabel(/^Average thickness/).fill('thick');
    await page.getByText('Type a number in µm, such as 2.5; got “thick”.').waitFor();
    await page.getByLabel(/^Average thickness/).fill('90000');
    await page.getByRole('heading', { name: 'This cannot be planned' }).waitFor();
    await page.getByText(/average thickness.*90000/i).waitFor();
  });

  test('marks a wish out of range at its field, and keeps the finger where it types', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    const density = page.getByLabel(/^Current density/);
    await density.click();
    await page.keyboard.type('9');
    await page
      .locator('.wish', { has: density })
      .getByText(/9 A\/dm².*2 to 7.5 A\/dm²/)
      .waitFor();
    await page.keyboard.press('Backspace');
    await page.keyboard.type('3');
    expect(await density.inputValue()).toBe('3');
    expect(await page.locator('.wish .caution').count()).toBe(0);
  });

  test('is taken as the recipe, filled in, for the bath that hangs ready, and waits for a press', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    await page.getByLabel(/^Bath *Bright/).selectOption('watts-nickel');
    await page.getByRole('button', { name: 'Take this as the recipe' }).click();
    await page
      .getByRole('heading', { level: 1, name: /^Recipe for / })
      .or(page.locator('.links a').first())
      .waitFor();
    if (await page.getByRole('heading', { name: 'Which bath is it for?' }).isVisible())
      await page.locator('.links a').first().click();
    await page.getByRole('heading', { level: 1, name: /^Recipe for / }).waitFor();
    expect(await page.getByLabel(/^Surface area/).inputValue()).toBe('12');
    expect(await page.locator('.recipe-form select').inputValue()).toBe('watts-nickel');
    await page.getByRole('button', { name: 'Send to the bath' }).waitFor();
    await page.getByRole('link', { name: 'Back to the plan' }).click();
    await page.getByRole('heading', { level: 1, name: 'Plan: Part' }).waitFor();
  });

  test('leads from a model to its figures with their reasons, to a sheet for paper and to a file', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await page.getByRole('button', { name: 'Try the demonstration bell' }).click();
    await page.locator('.part-canvas[data-marks="true"]').waitFor({ timeout: 60_000 });
    await page.getByRole('link', { name: 'What does tonight need? The plan' }).click();
    const figure = page.locator('details.figure', { hasText: /^Set-point/ }).first();
    await figure.locator('summary').click();
    await figure.getByText(/^Source: /).waitFor();
    const [file] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save it as a file (JSON)' }).click(),
    ]);
    expect(file.suggestedFilename()).toBe('plan-fluted-bell-lampshade.json');
    const told = JSON.parse(readFileSync(await file.path(), 'utf8')) as { averageThicknessMicrometres: number };
    expect(told.averageThicknessMicrometres).toBeCloseTo(300, 9);
    const [setPoint] = await page.locator('.plan-told > .summary').allTextContents();
    await page.getByRole('link', { name: 'Job sheet to print' }).click();
    await page.getByRole('heading', { level: 1, name: 'Job sheet: Fluted bell lampshade' }).waitFor();
    expect((await page.locator('.sheet-short').textContent())!.trim()).toBe(setPoint!.trim());
    // What the browser was asked to print: nothing but the sheet, dark on white also at night.
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    expect(await page.locator('.heading').isVisible()).toBe(false);
    expect(await page.getByRole('button', { name: 'Print it' }).isVisible()).toBe(false);
    const ink = (element: Element) => [
      getComputedStyle(element).color,
      getComputedStyle(document.body).backgroundColor,
    ];
    expect(await page.locator('.job-sheet h1').evaluate(ink)).toEqual(['rgb(0, 0, 0)', 'rgb(255, 255, 255)']);
    await page.emulateMedia({ media: 'screen' });
    await page.evaluate(() => {
      window.print = () => document.body.setAttribute('data-printed', 'yes');
    });
    await page.getByRole('button', { name: 'Print it' }).click();
    await page.locator('body[data-printed]').waitFor();
    await page.getByRole('link', { name: 'Back to the plan' }).click();
    await page.getByRole('heading', { level: 1, name: 'Plan: Fluted bell lampshade' }).waitFor();
  });

  test('has no job sheet before there is a plan, and says where to go', async () => {
    const page = await room.opened({}, '/#job-sheet');
    await page.getByRole('heading', { name: 'No job sheet yet' }).waitFor();
    await page.getByRole('link', { name: 'to the plan' }).click();
    await page.getByRole('heading', { level: 1, name: 'What does tonight need?' }).waitFor();
  });

  test('has a job sheet that looks right on a phone and on a wide screen, by day and by night', async () => {
    await room.looksRight('job-sheet', '/#part', async (page) => {
      await plannedPlate(page);
      await page.getByRole('link', { name: 'Job sheet to print' }).click();
      await page.getByRole('heading', { name: 'Job sheet: Part' }).waitFor();
    });
  });

  test('looks right on a phone and on a wide screen, by day and by night', async () => {
    await room.looksRight('plan', '/#part', async (page) => {
      await plannedPlate(page);
      await page.locator('details.figure > summary').first().click();
    });
  });
});
