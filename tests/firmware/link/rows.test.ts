/* Rows in byte memory: what is packed is what is unpacked, and nothing torn is ever taken for a row. */
import './interpreter-globals.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Phase, type Recipe } from '@bathkeeper/shared-core/control';
import { RECIPE_COLUMNS, RecipeColumn, RecordColumn, STORED_RECORD_COLUMNS } from '@bathkeeper/shared-core/messages';
import { KeptColumn, openKeptRow } from '../../../firmware/src/memory/kept-row.js';
import { recipeOfRow } from '../../../firmware/src/memory/recipe-row.js';
import { checkedBytes, packedRow, rowBytes } from '../../../firmware/src/memory/rows.js';
import { keptJournal, noteJournal } from '../../../firmware/src/memory/run-journal.js';
import { crc32 } from './interpreter-globals.js';
import { isCut, TornMemory } from './torn-memory.js';

const row = fc.array(fc.oneof(fc.integer(), fc.integer({ min: -200, max: 200 })), { minLength: 1, maxLength: 24 });
/** The words of a packed row, read as the processor of the board has them: lowest byte first. */
function unpacked(bytes: Uint8Array): number[] {
  const view = new DataView(bytes.buffer);
  return Array.from({ length: bytes.length / 4 - 1 }, (_, word) => view.getInt32(word * 4, true));
}

describe('rows', () => {
  it('the check sum of "123456789" is CBF43926 (CRC-32, IEEE 802.3; check value of the CRC catalogue, from memory)', () => {
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
  });

  it('come back as they were packed, for every sign, with the check sum of their words behind them', () => {
    fc.assert(
      fc.property(row, (values) => {
        const bytes = packedRow(values);
        expect(bytes.length).toBe(rowBytes(values.length));
        expect(unpacked(bytes)).toEqual(values);
        expect(new DataView(bytes.buffer).getUint32(bytes.length - 4, true)).toBe(crc32(bytes.subarray(0, -4)));
        expect(checkedBytes(bytes)).toEqual(bytes);
      }),
    );
  });

  it('are refused when any one byte changed', () => {
    fc.assert(
      fc.property(row, fc.nat(), fc.integer({ min: 1, max: 255 }), (values, place, change) => {
        const bytes = packedRow(values);
        bytes[place % bytes.length]! ^= change;
        expect(checkedBytes(bytes)).toBeUndefined();
      }),
    );
  });

  it('are not seen in memory that was never written', () => {
    for (const columns of [9, 19]) {
      expect(checkedBytes(new Uint8Array(rowBytes(columns)))).toBeUndefined();
      expect(checkedBytes(new Uint8Array(rowBytes(columns)).fill(255))).toBeUndefined();
    }
  });
});

describe('the kept row', () => {
  it('is the old or the new one after a cut between any two bytes, and can be kept again', () => {
    for (let cut = 0; ; cut++) {
      const memory = new TornMemory(512);
      const kept = openKeptRow(memory, () => 77);
      kept.row[KeptColumn.charge] = 8;
      kept.keep();
      kept.row[KeptColumn.charge] = 9;
      memory.bytesUntilCut = cut;
      const wasCut = isCut(kept.keep);
      memory.bytesUntilCut = Infinity;
      const again = openKeptRow(memory, () => 78);
      expect(again.row[KeptColumn.charge]).toBe(wasCut ? 8 : 9);
      expect(again.row[KeptColumn.incarnation]).toBe(77);
      expect(again.row[KeptColumn.boot]).toBe(2);
      expect(openKeptRow(memory, () => 79).row[KeptColumn.boot]).toBe(3);
      if (!wasCut) break;
    }
  });

  it('is not lost when the memory was silent in the middle of writing it and the power goes in the next try', () => {
    for (let silentAt = 0; silentAt < 150; silentAt += 7) {
      for (let cutAt = 0; cutAt < 150; cutAt += 11) {
        const memory = new TornMemory(512);
        const kept = openKeptRow(memory, () => 77);
        kept.row[KeptColumn.charge] = 8;
        kept.keep();
        for (const bytes of [silentAt, silentAt, cutAt]) {
          kept.row[KeptColumn.charge]!++;
          memory.bytesUntilCut = bytes;
          expect(isCut(kept.keep)).toBe(true);
        }
        memory.bytesUntilCut = Infinity;
        const again = openKeptRow(memory, () => 78);
        expect(again.row[KeptColumn.incarnation]).toBe(77);
        expect(again.row[KeptColumn.charge]).toBe(8);
      }
    }
  });

  it('starts a new incarnation, at boot 1, in an empty or damaged memory, and wipes what was there', () => {
    const memory = new TornMemory(4096);
    memory.image.fill(0x5a);
    const kept = openKeptRow(memory, () => -2);
    expect(kept.row[KeptColumn.incarnation]).toBe(2 ** 32 - 2);
    expect(kept.row[KeptColumn.boot]).toBe(1);
    expect(memory.image.subarray(512).some((byte) => byte !== 0)).toBe(false);
  });

  it('a cut while a new memory is wiped leaves nothing that is taken for a row', () => {
    for (const cut of [0, 1, 100, 4000, 4096, 4200]) {
      const memory = new TornMemory(4096);
      memory.image.fill(0x5a);
      memory.bytesUntilCut = cut;
      isCut(() => {
        openKeptRow(memory, () => 5);
      });
      memory.bytesUntilCut = Infinity;
      expect(openKeptRow(memory, () => 6).row[KeptColumn.boot]).toBe(1);
    }
  });
});

const recipe: Recipe = {
  recipeId: 2147483647,
  areaDm2: 12.34,
  strikeAmps: 3.702,
  strikeSeconds: 600,
  rampSeconds: 1800,
  plateAmps: 19.744,
  chargeMilliCoulombs: 1234567890,
  finishAmps: 1.851,
  finishSeconds: 3600,
  holdAmps: 3.702,
  longestSeconds: 50400,
  rotationPulsesPerMinute: 6.5,
  startCelsiusMin: 18,
  bathWarnCelsius: 28.5,
  bathHoldCelsius: 32,
};

describe('the run in the kept row', () => {
  it('comes back whole, recipe and all', () => {
    const memory = new TornMemory(512);
    const journal = {
      phase: Phase.plate,
      runNumber: 12,
      runIsOpen: true,
      chargeMilliCoulombs: 987654321,
      liveMs: 30123456,
      recipe,
    };
    const kept = openKeptRow(memory, () => 1);
    noteJournal(kept.row, journal);
    kept.keep();
    expect(keptJournal(openKeptRow(memory, () => 2).row, undefined)).toEqual(journal);
  });

  it('without a recipe comes back without one, also over an older one', () => {
    const kept = openKeptRow(new TornMemory(512), () => 1);
    const journal = {
      phase: Phase.idle,
      runNumber: 3,
      runIsOpen: false,
      chargeMilliCoulombs: 0,
      liveMs: 0,
      recipe: undefined,
    };
    noteJournal(kept.row, { ...journal, recipe });
    noteJournal(kept.row, journal);
    expect(keptJournal(kept.row, undefined)).toEqual(journal);
  });

  it.each([
    ['the newest record knows more of it', 12, 2 ** 33 + 5, 2 ** 33 + 5],
    ['the newest record knows less of it', 12, 900, 1000],
    ['the newest record is of another run', 11, 2000, 1000],
  ])('takes the larger charge of row and record where %s', (_, run, charge, expected) => {
    const kept = openKeptRow(new TornMemory(512), () => 1);
    kept.row[KeptColumn.run] = 12;
    kept.row[KeptColumn.charge] = 1000;
    const newest = new Array<number>(STORED_RECORD_COLUMNS).fill(0);
    newest[RecordColumn.run] = run;
    newest[RecordColumn.charge] = charge;
    newest[STORED_RECORD_COLUMNS - 1] = Math.floor(charge / 2 ** 32);
    const words = new Int32Array(newest);
    expect(keptJournal(kept.row, words).chargeMilliCoulombs).toBe(expected);
  });

  it('of a memory never used is idle', () => {
    expect(keptJournal(openKeptRow(new TornMemory(512), () => 1).row, undefined)).toMatchObject({
      phase: Phase.idle,
      runNumber: 0,
    });
  });

  it('knows every column of a recipe', () => {
    expect(Object.keys(recipe).length).toBe(RECIPE_COLUMNS);
    const row = Array.from({ length: RECIPE_COLUMNS }, (_, i) => i + 1);
    expect(Object.values(recipeOfRow(row))).toEqual(row);
    expect(Object.keys(recipeOfRow(row))).toEqual(Object.keys(RecipeColumn));
  });
});
