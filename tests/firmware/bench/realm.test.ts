/* Boots of many nights share realms: what one boot leaves behind never reaches the next. */
import { describe, expect, it } from 'vitest';
import { RealmPool, simulatedBoardSettings, StandInDashboard, VirtualBath } from '../../../firmware/bench/index.js';

function printedBy(bundle: string, realms: RealmPool | undefined): string {
  const settings = simulatedBoardSettings();
  const bath = new VirtualBath({
    bundle,
    seed: 1,
    settings,
    network: new StandInDashboard(settings),
    ...(realms === undefined ? {} : { realms }),
  });
  bath.advance(1);
  const { consoleText } = bath;
  bath.switchOff();
  return consoleText;
}

describe('realms that are handed on', () => {
  it('are the same ones again, so that a long campaign makes few', () => {
    const realms = new RealmPool();
    const first = realms.take('print(1)');
    realms.giveBack(first);
    expect(realms.take('print(1)')).toBe(first);
    expect(realms.take('print(1)')).not.toBe(first);
    expect(realms.take('print(2)')).not.toBe(first);
  });

  it('hold no global of an older boot, and no variable of its program', () => {
    const bundle =
      'var own; print(typeof leftOver, typeof own); leftOver = 1; own = 2; global.alsoLeft = 3; print(typeof leftOver, typeof alsoLeft)';
    const realms = new RealmPool();
    const alone = printedBy(bundle, undefined);
    expect(alone).toContain('undefined undefined');
    expect(alone).toContain('number number');
    for (let night = 0; night < 3; night++) expect(printedBy(bundle, realms)).toBe(alone);
  });

  it.each([
    ['a method of arrays', 'print(typeof [].extra); Array.prototype.extra = function () {}'],
    ['a constant of Math', 'print(typeof Math.floor); delete Math.floor'],
    ['a built-in function', 'print(typeof parseInt); parseInt = 1'],
    ['a property of a method', 'print(typeof [].push.mark); [].push.mark = 1'],
    ['a prototype', 'print(typeof Error.prototype.mark); Object.setPrototypeOf(Error.prototype, { mark: 1 })'],
    [
      'what can be written',
      'print(Object.getOwnPropertyDescriptor(Array.prototype, "push").writable); Object.defineProperty(Array.prototype, "push", { writable: false })',
    ],
  ])('are not used again when the program changed %s', (_what, bundle) => {
    const realms = new RealmPool();
    const alone = printedBy(bundle, undefined);
    for (let night = 0; night < 2; night++) expect(printedBy(bundle, realms)).toBe(alone);
  });

  it('stay with the boot that has them until it is over: two baths at once never share one', () => {
    const realms = new RealmPool();
    const settings = simulatedBoardSettings();
    const bundle = 'global.count = (global.count || 0) + 1; print("count " + count)';
    const baths = [1, 2].map(
      (seed) => new VirtualBath({ bundle, seed, settings, network: new StandInDashboard(settings), realms }),
    );
    for (const bath of baths) {
      bath.advance(1);
      expect(bath.consoleText).toContain('count 1');
    }
  });
});
