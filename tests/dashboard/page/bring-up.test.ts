/* Bring-up in words: every step, in an order that can be followed, with its cautions; what was done is believed only when it was told. */
import { SupplyKind } from '@bathkeeper/shared-core/control';
import { type BringUpDone, BringUpStep } from '@bathkeeper/shared-core/messages';
import type { UnitSystem } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { bringUpStates, bringUpWords, seenNow } from '../../../dashboard/page/words/bring-up.js';
import { cannedController, cannedLive, NIGHT_MS } from './bath-in-plate.js';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const steps = bringUpWords('north-bench', SupplyKind.analogue);
const stepsOf = (kind: SupplyKind | null) => bringUpWords('north-bench', kind).map(({ step }) => step);
const placeOf = (step: BringUpStep): number => steps.findIndex((one) => one.step === step);
const done = (step: BringUpStep, a = 0): BringUpDone => ({ step, a, b: 0, atMs: NIGHT_MS - 600_000 });
const states = (bringUp: readonly BringUpDone[], units: UnitSystem = 'metric') =>
  bringUpStates(
    steps,
    { ...cannedController(), told: { bringUp, interruptions: [], secondMeansOpened: null } },
    NIGHT_MS,
    { timeZone: 'UTC', units },
  );

describe('the steps of bring-up', () => {
  test('all of them are told, each once', () => {
    expect(steps.map(({ step }) => step).sort((a, b) => a - b)).toEqual(
      Object.values(BringUpStep).sort((a, b) => a - b),
    );
  });
  test('a supply without an analogue input has no set-point to calibrate; of an unknown one everything is told', () => {
    expect(stepsOf(SupplyKind.byHand)).not.toContain(BringUpStep.supplyCalibrated);
    expect(stepsOf(SupplyKind.scpi)).not.toContain(BringUpStep.supplyCalibrated);
    expect(stepsOf(null)).toContain(BringUpStep.supplyCalibrated);
  });
  test('limits come before anything moves, the latch before any current, the meter before the set-point, keeping last', () => {
    const order = [
      BringUpStep.limitsSet,
      BringUpStep.latchTested,
      BringUpStep.contactorClicked,
      BringUpStep.currentCalibrated,
      BringUpStep.supplyCalibrated,
      BringUpStep.settingsKept,
    ].map(placeOf);
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(placeOf(BringUpStep.settingsKept)).toBe(steps.length - 1);
  });
  test('each says what to do, what to type and when it is well', () => {
    for (const { title, doIt, commands, wellWhen } of steps) {
      expect(title).toMatch(/^[A-Z]/);
      for (const text of [doIt, wellWhen]) expect(text).toMatch(/^[A-Z].*\.$/);
      for (const command of commands) expect(command).toMatch(/^[a-zA-Z]+\(.*\)$/);
    }
  });
  test('where something moves, heats or carries current there is a caution', () => {
    for (const step of [
      BringUpStep.motorTurned,
      BringUpStep.contactorClicked,
      BringUpStep.secondMeansClicked,
      BringUpStep.currentCalibrated,
      BringUpStep.supplyCalibrated,
    ]) {
      expect(steps[placeOf(step)]!.caution).toMatch(/^[A-Z].*\.$/);
    }
    expect(steps[placeOf(BringUpStep.currentCalibrated)]!.caution).toContain('Local codes');
  });
  test('the name in the commands is the one that the page follows', () => {
    expect(bringUpWords('south-bench', null)[0]!.commands[0]).toBe("controller('south-bench')");
  });
});

describe('what was done', () => {
  test('nothing told: the first step is the one to do', () => {
    expect(bringUpStates(steps, null, NIGHT_MS).map(({ state }) => state)).toEqual(
      steps.map((_, place) => (place === 0 ? 'now' : 'later')),
    );
  });
  test('a step is ticked when its event came, with what it said', () => {
    const told = states([done(BringUpStep.motorTurned, 9)]);
    expect(told[placeOf(BringUpStep.motorTurned)]).toEqual({ state: 'done', words: 'Done 01:54: 9 pulses.' });
    expect(told[0]!.state).toBe('now');
  });
  test('numbers are told in their units', () => {
    const told = states([
      done(BringUpStep.currentCalibrated, 28_310),
      done(BringUpStep.temperatureCalibrated, -420),
      done(BringUpStep.settingsKept),
    ]);
    expect(plain(told[placeOf(BringUpStep.currentCalibrated)]!.words)).toBe('Done 01:54, up to 28.3 A.');
    expect(plain(told[placeOf(BringUpStep.temperatureCalibrated)]!.words)).toBe('Done 01:54: offset −0.4 °C.');
  });
  test('an offset is a difference: in imperial it has no 32 added, while a reading has', () => {
    // 0.42 K are 0.756 of a degree Fahrenheit; 24.06 °C are 75.308 °F: exact.
    const told = states([done(BringUpStep.temperatureCalibrated, -420), done(BringUpStep.settingsKept)], 'imperial');
    expect(plain(told[placeOf(BringUpStep.temperatureCalibrated)]!.words)).toBe('Done 01:54: offset −0.8 °F.');
    const live = cannedLive({ bathTemperatureCelsius: 24.06 });
    expect(plain(seenNow(BringUpStep.temperatureCalibrated, live, 'imperial'))).toBe('75.3 °F in the bath');
  });
  test('what was decided and not kept after it is not called done', () => {
    const limits = placeOf(BringUpStep.limitsSet);
    expect(states([done(BringUpStep.limitsSet)])[limits]).toMatchObject({ state: 'unkept' });
    expect(states([done(BringUpStep.settingsKept), done(BringUpStep.limitsSet)])[limits]!.words).toContain('keep()');
    expect(states([done(BringUpStep.limitsSet), done(BringUpStep.settingsKept)])[limits]!.state).toBe('done');
  });
  test('with everything done nothing is left to do', () => {
    const all = steps.map(({ step }) => done(step));
    expect(new Set(states(all).map(({ state }) => state))).toEqual(new Set(['done']));
  });
});

test('what the running controller shows is told where it can be seen, and nowhere else', () => {
  const live = cannedLive({ cathodeCurrentAmps: 0, bathTemperatureCelsius: null });
  expect(plain(seenNow(BringUpStep.sensorsSeen, live))).toBe(
    '0.00 A at the shunt, 1.93 V at the terminals, no reading in the bath',
  );
  expect(seenNow(BringUpStep.contactorClicked, live)).toBe('the contactor says closed');
  expect(seenNow(BringUpStep.motorTurned, cannedLive({ secondsSinceRotationPulse: null }))).toContain('no pulse');
  expect(seenNow(BringUpStep.paired, live)).toBe('');
});
