/* What comes from afar: each field checked, nothing nested, nothing that throws. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Command, RecipeFault, recipeFault } from '@bathkeeper/shared-core/control';
import { RECIPE_COLUMNS } from '@bathkeeper/shared-core/messages';
import { Answer, messageFields, receivedCommand } from '../../../firmware/src/link/messages.js';

const row = [7, 12, 3.6, 600, 1800, 19.2, 1.2e9, 1.8, 3600, 3.6, 50400, 6, 18, 28, 32];
const command = (change: object): string => JSON.stringify({ v: 1, d: 5, n: 9, k: 1, i: 3, b: 2, x: 1000, ...change });

describe('a message', () => {
  it('is one object of this version', () => {
    expect(messageFields('{"v":1,"t":1764000000}')).toEqual({ v: 1, t: 1764000000 });
    for (const text of ['', '{', '1', 'null', '"v"', '[]', '{"v":2}', '{"v":"1"}', '{}']) {
      expect(messageFields(text)).toBeUndefined();
    }
  });

  it('with anything nested, or longer than 512, is not even parsed', () => {
    expect(messageFields('{"v":1,"g":[[1]]}')).toBeUndefined();
    expect(messageFields('{"v":1,"g":{}}')).toBeUndefined();
    expect(messageFields('['.repeat(300))).toBeUndefined();
    expect(messageFields('{"v":1' + ' '.repeat(600) + '}')).toBeUndefined();
  });

  it('never makes it throw', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 600 }), (text) => {
        messageFields(text);
        receivedCommand(text, 3, 1, 0);
      }),
    );
    fc.assert(
      fc.property(fc.json({ maxDepth: 2 }), (text) => {
        receivedCommand(text, 3, 1, 0);
      }),
    );
  });
});

describe('a command', () => {
  it('for this boot and before its end is carried out', () => {
    expect(receivedCommand(command({}), 3, 2, 100000)).toEqual({
      id: 5,
      counter: 9,
      command: Command.stop,
      answer: Answer.done,
      recipe: undefined,
      lowerToAmps: 0,
    });
  });

  it('of another boot or another life of the memory, or after its end, is answered as expired', () => {
    expect(receivedCommand(command({}), 4, 2, 0)?.answer).toBe(Answer.expired);
    expect(receivedCommand(command({ i: undefined }), 3, 2, 0)?.answer).toBe(Answer.expired);
    expect(receivedCommand(command({}), 3, 3, 0)?.answer).toBe(Answer.expired);
    expect(receivedCommand(command({}), 3, 2, 100001)?.answer).toBe(Answer.expired);
  });

  it.each([
    { k: 0 },
    { k: 6 },
    { k: 'stop' },
    { k: 1.5 },
    { k: null },
    { k: 5 },
    { k: 5, c: -1 },
    { k: 5, c: '200' },
    { k: 5, c: null },
  ])('with %o is answered as not understood', (change) => {
    expect(receivedCommand(command(change), 3, 2, 0)?.answer).toBe(Answer.notUnderstood);
  });

  it.each([{ x: undefined }, { x: null }, { x: 'soon' }])('with its end %o is answered as expired', (change) => {
    expect(receivedCommand(command(change), 3, 2, 1)?.answer).toBe(Answer.expired);
  });

  it.each([{ d: 0 }, { d: -1 }, { d: 1.5 }, { d: '5' }, { d: 2 ** 31 }, { d: null }])(
    'with id %o cannot be answered and is left',
    (change) => {
      expect(receivedCommand(command(change), 3, 2, 0)).toBeUndefined();
    },
  );

  it.each([{ n: 0 }, { n: -1 }, { n: 1.5 }, { n: '5' }, { n: 2 ** 47 }, { n: null }, { n: undefined }])(
    'with counter %o cannot be told from an old one and is left',
    (change) => {
      expect(receivedCommand(command(change), 3, 2, 0)).toBeUndefined();
    },
  );

  it('to lower carries the new ceiling in amperes', () => {
    const lower = receivedCommand(command({ k: 5, c: 420 }), 3, 2, 0);
    expect(lower).toMatchObject({ command: Command.lower, answer: Answer.done, lowerToAmps: 4.2 });
    expect(receivedCommand(command({ k: 5, c: 420 }), 3, 9, 0)).toMatchObject({
      answer: Answer.expired,
      lowerToAmps: 0,
    });
  });

  it('carries a recipe as it was sent, for the supervisor to check', () => {
    const taken = receivedCommand(command({ k: 4, g: row }), 3, 2, 0);
    expect(taken?.answer).toBe(Answer.done);
    expect(taken?.recipe).toMatchObject({
      recipeId: 7,
      plateAmps: 19.2,
      chargeMilliCoulombs: 1.2e9,
      bathHoldCelsius: 32,
    });
    expect(Object.values(taken!.recipe!)).toEqual(row);
  });

  it('with a recipe of which anything is missing or no number is refused as malformed', () => {
    const limits = { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 54000 };
    const faultOf = (g: unknown) => recipeFault(receivedCommand(command({ k: 4, g }), 3, 2, 0)!.recipe!, limits);
    expect(faultOf(row)).toBe(RecipeFault.none);
    for (const g of [undefined, null, 5, 'abc', [], row.slice(1), row.slice(0, 14)]) {
      expect(faultOf(g)).toBe(RecipeFault.malformed);
    }
    for (let column = 0; column < RECIPE_COLUMNS; column++) {
      for (const wrong of [String(row[column]), null, true]) {
        const spoiled: unknown[] = [...row];
        spoiled[column] = wrong;
        expect(faultOf(spoiled)).toBe(RecipeFault.malformed);
      }
    }
  });
});
