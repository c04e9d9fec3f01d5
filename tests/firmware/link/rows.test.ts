/* Rows in byte memory: what is packed is what is unpacked, and nothing torn is ever taken for a row. */
import './interpreter-globals.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Phase, type Recipe } from '@bathkeeper/shared-core/control';
import { RECIPE_COLUMNS, RecipeColumn } from '@bathkeeper/shared-core/messages';
import { KeptColumn, openKeptRow } from '../../../firmware/src/memory/kept-row.js';
import { recipeOfRow } from '../../../firmware/src/memory/recipe-row.js';
import { packedRow, rowBytes, unpackedRow } from '../../../firmware/src/memory/rows.js';
import { keptJournal, noteJournal } from '../../../firmware/src/memory/run-journal.js';
import { crc32 } from './interpreter-globals.js';
import { isCut, TornMemory } from './torn-memory.js';

const widths = [1, 2, 4, 5, 7];
const signed = (bytes: number) => {
  const half = Math.min(2 ** (8 * bytes - 1), Number.MAX_SAFE_INTEGER);
  return fc
    .oneof(fc.maxSafeInteger(), fc.integer({ min: -200, max: 200 }))
    .map((value) => Math.max(-half, Math.min(half - 1, value)));
};
const row = fc.tuple(signed(1), signed(2), signed(4), signed(5), signed(7));

describe('rows', () => {
  it('the check sum of "123456789" is CBF43926 (CRC-32, IEEE 802.3; check value of the CRC catalogue, from memory)', () => {
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
  });

  it('come back as they were packed, for every width and sign', () => {
    fc.assert(
      fc.property(row, (values) => {
        const bytes = packedRow(widths, values);
        expect(bytes.length).toBe(rowBytes(widths));
        expect(unpackedRow(widths, bytes, widths.length)).toEqual(values);
        expect(unpackedRow(widths, bytes, 2)).toEqual(values.slice(0, 2));
      }),
    );
  });

  it('are refused when any one byte changed', () => {
    fc.assert(
      fc.property(row, fc.nat(), fc.integer({ min: 1, max: 255 }), (values, place, change) => {
        const bytes = packedRow(widths, values);
        bytes[place % bytes.length]! ^= change;
        expect(unpackedRow(widths, bytes, widths.length)).toBeUndefined();
      }),
    );
  });

  it('are not seen in memory that was never written', () => {
    expect(unpackedRow(widths, new Uint8Array(rowBytes(widths)), widths.length)).toBeUndefined();
    expect(unpackedRow(widths, new Uint8Array(rowBytes(widths)).fill(255), widths.length)).toBeUndefined();
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
    expect(keptJournal(openKeptRow(memory, () => 2).row)).toEqual(journal);
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
    expect(keptJournal(kept.row)).toEqual(journal);
  });

  it('of a memory never used is idle', () => {
    expect(keptJournal(openKeptRow(new TornMemory(512), () => 1).row)).toMatchObject({
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
