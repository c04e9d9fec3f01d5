/*
 * From the controller into bring-up and back, with the bundle that is flashed: it gives way only while nothing can flow, and tells
 * the dashboard what was done. And what bring-up is for: without its settings the controller energises nothing and says why.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import {
  sealedBoardSettings,
  simulatedBoardSettings,
  StandInDashboard,
  startNight,
  VirtualBath,
} from '@bathkeeper/firmware/bench';
import { EventKind } from '@bathkeeper/shared-core/control';
import { BringUpStep, EventColumn } from '@bathkeeper/shared-core/messages';
import { builtOnce } from '../build/built-once.js';
import { DONE_FILE, SETTINGS_FILE } from './bring-up-console.js';

const recipeRow = [7, 12, 3.6, 60, 120, 19.2, 216_000_000, 1.8, 600, 3.6, 20_000, 6, 18, 28, 32];
/** Notes what is loaded, in place of loading it, and answers a question at the console. */
const ASKING = `
var wasLoaded = '';
load = function (file) { wasLoaded = file; };
setInterval(function () {
  var storage = require('Storage');
  var asked = storage.read('asked');
  if (!asked) return;
  storage.erase('asked');
  print('ANSWER ' + JSON.stringify(asked === 'only' ? global.bringUp(1) : global.bringUp()) + ' loaded ' + wasLoaded);
}, 50);`;

let bundle: string;
beforeAll(async () => {
  bundle = (await builtOnce()).code;
}, 240_000);

function controller(change?: (bath: VirtualBath) => void): { bath: VirtualBath; standIn: StandInDashboard } {
  const settings = simulatedBoardSettings();
  const standIn = new StandInDashboard(settings);
  const bath = new VirtualBath({ bundle: bundle + ASKING, seed: 1, settings, network: standIn });
  change?.(bath);
  return { bath, standIn };
}

function answer(bath: VirtualBath, asked: 'only' | 'go'): string {
  bath.parts.storage.write('asked', asked);
  bath.advance(1);
  return bath.consoleText.slice(bath.consoleText.lastIndexOf('ANSWER'));
}

describe('the way into bring-up', () => {
  it('opens on an idle controller that has the second program', () => {
    const { bath } = controller();
    bath.advance(3);
    expect(answer(bath, 'only')).toContain('ANSWER "" loaded');
    expect(answer(bath, 'go')).toContain('Not in flash');
    bath.parts.storage.write('bring-up.js', 'print(1)');
    expect(answer(bath, 'go')).toContain('loaded bring-up.js');
  });

  it('is no fault of the boot that ends by it, however soon and however often', () => {
    const { bath, standIn } = controller((each) => each.parts.storage.write('bring-up.js', 'print(1)'));
    for (let boot = 0; boot < 6; boot++) {
      standIn.play(bath, 20);
      answer(bath, 'go');
      bath.powerCut(1);
    }
    standIn.play(bath, 60);
    expect(bath.consoleText).not.toContain('standing by');
    const kinds = standIn.ledger!.events.map((event) => event[EventColumn.kind]);
    expect(kinds).toContain(EventKind.booted);
    expect(kinds).not.toContain(EventKind.restartedAfterFault);
  });

  it('stays shut while a run is on', () => {
    const night = controller((bath) => bath.parts.storage.write('bring-up.js', 'print(1)'));
    expect(startNight(night.bath, night.standIn, recipeRow)).toBeUndefined();
    expect(answer(night.bath, 'only')).toContain('run on or contactor closed');
    expect(answer(night.bath, 'go')).toMatch(/run on or contactor closed.*loaded $/m);
    expect(night.bath.truth.isContactorClosed).toBe(true);
  });

  it('tells the dashboard what was done in bring-up, once', () => {
    const { bath, standIn } = controller((each) => {
      each.parts.storage.write(DONE_FILE, `[[${BringUpStep.motorTurned},3,0],[${BringUpStep.paired},0,0]]`);
    });
    standIn.play(bath, 60);
    const done = (): number[][] =>
      (standIn.ledger?.events ?? [])
        .filter((event) => event[EventColumn.kind] === EventKind.bringUpDone)
        .map((event) => [event[EventColumn.code]!, event[EventColumn.a]!]);
    expect(done()).toEqual([
      [BringUpStep.motorTurned, 3],
      [BringUpStep.paired, 0],
    ]);
    bath.powerCut(1);
    standIn.play(bath, 60);
    expect(done()).toHaveLength(2);
  });
});

describe('a controller that was not brought up', () => {
  const sealed = sealedBoardSettings(simulatedBoardSettings());
  const measuredNot = (section: 'shunt' | 'probe' | 'supply'): string => {
    const settings = simulatedBoardSettings();
    settings[section].measured = 0;
    return sealedBoardSettings(settings);
  };
  it.each([
    ['without settings', undefined, /Settings: none/],
    [
      'with one letter of them changed',
      sealed.replace('"volts', '"voltz').replace('35', '53'),
      /damaged, check sum wrong/,
    ],
    ['with half of them, as after a cut while writing', sealed.slice(0, 200), /damaged, check sum wrong/],
    ['whose shunt was never calibrated', measuredNot('shunt'), /shunt measured (is )?0/],
    ['whose thermometer was never compared', measuredNot('probe'), /probe measured (is )?0/],
    ['whose supply was never measured', measuredNot('supply'), /supply measured (is )?0/],
  ])('energises nothing %s, and says why', (_what, text, why) => {
    const { bath } = controller((each) => {
      if (text === undefined) each.parts.storage.erase(SETTINGS_FILE);
      else each.parts.storage.write(SETTINGS_FILE, text);
    });
    bath.advance(10);
    bath.press('latch-reset');
    for (let press = 0; press < 3; press++) {
      bath.press('start');
      bath.advance(20);
    }
    expect(bath.consoleText).toMatch(why);
    expect(bath.contactorLog).toEqual([]);
    expect(bath.parts.pins.read('D19')).toBe(false);
  });
});
