/*
 * The bring-up program on a virtual board, with somebody at the console and at the bath: types commands, holds start down, reads what
 * was printed. Used by the tests of this folder. The text that runs is what `flash` writes, with a few lines behind it that type.
 */
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { simulatedBoardSettings, VirtualBath, type VirtualBathOptions, noNetwork } from '@bathkeeper/firmware/bench';
import { buildFirmware } from '@bathkeeper/firmware/build';
import { printedLines } from '../bench/board-program.js';

export const BRING_UP_ENTRY = fileURLToPath(new URL('../../../firmware/bring-up/main.ts', import.meta.url));
/** Settings in flash, and what bring-up did, by their names there. */
export const SETTINGS_FILE = 'bathkeeper.json';
export const DONE_FILE = 'bring-up.done';

const TYPED_FILE = 'typed';
const TYPING = `
setInterval(function () {
  var storage = require('Storage');
  var typed = storage.read('${TYPED_FILE}');
  if (!typed) return;
  storage.erase('${TYPED_FILE}');
  var call = JSON.parse(typed);
  global[call[0]].apply(undefined, call.slice(1));
}, 50);`;

const texts = new Map<string, Promise<string>>();

/** The program for a kind of supply, built once. */
export function bringUpText(supply = 'analogue', board = 'esp32'): Promise<string> {
  const name = `${board} ${supply}`;
  const known = texts.get(name);
  if (known) return known;
  const building = buildFirmware({ board, supply, entry: BRING_UP_ENTRY }).then(({ code }) => code);
  texts.set(name, building);
  return building;
}

export class BringUpConsole {
  readonly bath: VirtualBath;
  #seen = 0;

  constructor(bundle: string, options: Partial<VirtualBathOptions> = {}) {
    this.bath = new VirtualBath({
      bundle: bundle + TYPING,
      seed: 1,
      settings: simulatedBoardSettings(),
      network: noNetwork,
      ...options,
    });
    this.bath.advance(3);
    this.said();
  }

  /** What was printed since the last question. */
  said(): string {
    const lines = printedLines(this.bath);
    const fresh = lines.slice(this.#seen);
    this.#seen = lines.length;
    return fresh.join('\n');
  }

  /** Types a call and waits a second or more; answers what was printed. */
  type(command: string, ...values: unknown[]): string {
    this.bath.parts.storage.write(TYPED_FILE, JSON.stringify([command, ...values]));
    this.bath.advance(1);
    return this.said();
  }

  wait(seconds: number): string {
    this.bath.advance(seconds);
    return this.said();
  }

  holdStart(isDown: boolean): void {
    const { chain, pins } = this.bath.parts;
    pins.drive('D13', !isDown, this.bath.nightSeconds);
    chain.setStartPressed(isDown, this.bath.nightSeconds);
  }

  closeLatch(): void {
    this.bath.press('latch-reset');
    this.bath.advance(0.4);
  }

  /** The latch closed, seen to open, and closed again. */
  proveLatch(): string {
    this.closeLatch();
    const said = this.type('latch') + this.wait(2);
    this.closeLatch();
    return said;
  }

  /** What a person sets at the supply by hand. */
  setSupply(amps: number): void {
    this.bath.parts.tank.setSupplyAmps(amps, this.bath.nightSeconds);
  }

  /** Holds start until the contactor has closed, does what is said, holds on, and lets go. */
  holdAndLetGo(afterClick: () => void, seconds = 8): string {
    this.holdStart(true);
    this.bath.advance(1.5);
    afterClick();
    this.bath.advance(seconds);
    const amps = this.bath.truth.currentAmps;
    this.setSupply(0);
    this.bath.advance(0.1);
    this.holdStart(false);
    this.bath.advance(2);
    this.meterAmps = amps;
    return this.said();
  }
  /** What a good meter showed at the end of the last hold. */
  meterAmps = 0;

  get settings(): Record<string, Record<string, unknown>> {
    const text = this.bath.parts.storage.read(SETTINGS_FILE) ?? '';
    return JSON.parse(text.slice(8)) as Record<string, Record<string, unknown>>;
  }
  get doneSteps(): number[] {
    return (JSON.parse(this.bath.parts.storage.read(DONE_FILE) ?? '[]') as number[][]).map(([step]) => step!);
  }
}

export function programPath(...parts: string[]): string {
  return join(fileURLToPath(new URL('../../../', import.meta.url)), ...parts);
}
