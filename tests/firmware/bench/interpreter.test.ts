import { describe, expect, it } from 'vitest';
import { bathRunning, printedLines } from './board-program.js';

/** What a program printed in so many seconds. */
function printedBy(program: string, seconds = 1): string[] {
  const bath = bathRunning(program);
  bath.advance(seconds);
  return printedLines(bath);
}

describe('the virtual board’s interpreter', () => {
  it.each([
    ['new Map()'],
    ['new Set()'],
    ['Symbol("a")'],
    ['Array.from("abc")'],
    ['Array.of(1)'],
    ['[[1]].flat()'],
    ['[1, 2].lastIndexOf(2)'],
    ['[1, 2].at(0)'],
    ['Number.isFinite(1)'],
    ['Number.isInteger(1)'],
    ['Math.trunc(1.5)'],
    ['Math.hypot(3, 4)'],
    ['Math.log10(10)'],
    ['Object.freeze({})'],
    ['(1.5).toPrecision(2)'],
    ['(1.5).toExponential(2)'],
    ['new Uint8Array(2).lastIndexOf(0)'],
    ['Promise.race([])'],
    ['" a".trimStart()'],
    ['structuredClone({})'],
    ['new TextEncoder()'],
    ['Buffer.from("a")'],
    ['setImmediate(print)'],
    ['queueMicrotask(print)'],
    ['performance.now()'],
    ['require("Wifi")'],
    ['require("fs")'],
  ])('lacks what Espruino lacks: %s', (expression) => {
    expect(printedBy(`try { ${expression}; print('works'); } catch (fault) { print('throws'); }`)).toEqual(['throws']);
  });

  it.each([
    ['(1.7).toFixed(0)'],
    ['Array.prototype.slice.call([1], 0)'],
    ['Array.prototype.indexOf.apply([1], [1])'],
    ['/a/.test("a")'],
    ['"a".match(/a/)'],
    ['clearTimeout()'],
    ['clearInterval(undefined)'],
  ])('throws where Espruino would quietly do something else: %s', (expression) => {
    expect(printedBy(`try { ${expression}; print('works'); } catch (fault) { print('throws'); }`)).toEqual(['throws']);
  });

  it.each([
    ['[3, 1, 2].sort().join()', '1,2,3'],
    ['[1, 2, 3].map(function (n) { return n * 2; }).filter(function (n) { return n > 2; }).join()', '4,6'],
    ['Object.keys({ a: 1, b: 2 }).join()', 'a,b'],
    ['"7".padStart(3, "0")', '007'],
    ['JSON.stringify(JSON.parse("[1,{}]"))', '[1,{}]'],
    ['new Uint16Array([70000])[0]', '4464'],
    ['Math.round(-2.5)', '-3'],
    ['E.toString([72, 105], "!")', 'Hi!'],
    ['E.CRC32("123456789")', '3421780262'],
    ['Array.prototype.join.length', '1'],
  ])('has what Espruino has: %s is %s', (expression, answer) => {
    // CRC-32 of 123456789 is cbf43926 (the check value of every catalogue of CRCs); Math.round as measured in Espruino.
    expect(printedBy(`print(${expression});`)).toEqual([answer]);
  });

  it('computes SHA-256', () => {
    // FIPS 180-4, example "abc": ba7816bf ... f20015ad.
    const program =
      'var d = new Uint8Array(require("crypto").SHA256("abc")); print(d.length, d[0], d[1], d[30], d[31]);';
    expect(printedBy(program)).toEqual(['32 186 120 21 173']);
  });

  it('counts time from its own boot', () => {
    const bath = bathRunning('setTimeout(function () { print(getTime()); E.reboot(); }, 10000);');
    bath.advance(25);
    const [first, second] = printedLines(bath).map(Number);
    expect(first).toBeCloseTo(10, 2);
    expect(second).toBeCloseTo(10, 2);
  });

  it('lets a loop that waits for the time end', () => {
    expect(printedBy('var end = getTime() + 0.3; while (getTime() < end) {} print("done");')).toEqual(['done']);
  });

  it('makes up for every missed time of an interval after it was blocked', () => {
    const program = `
      var ticks = 0;
      setInterval(function () { ticks++; }, 100);
      setTimeout(function () {
        var end = getTime() + 1;
        while (getTime() < end) {}
      }, 1050);
      setTimeout(function () { print(ticks); }, 2150);
    `;
    expect(printedBy(program, 3)).toEqual(['21']);
  });

  it('reports an exception in a callback and keeps the callback', () => {
    const bath = bathRunning('var n = 0; setInterval(function () { n++; print(n); if (n === 2) null.x; }, 100);');
    bath.advance(0.45);
    expect(printedLines(bath).filter((line) => /^\d$/.test(line))).toEqual(['1', '2', '3', '4']);
    expect(bath.consoleText).toContain('Uncaught TypeError');
    expect(bath.exceptionCount).toBe(1);
  });

  it('hands an uncaught exception to the program when it asked for it', () => {
    const program = `
      process.on('uncaughtException', function (fault) { print('caught', fault.message); });
      setTimeout(function () { throw new Error('broken'); }, 100);
    `;
    expect(printedBy(program)).toEqual(['caught broken']);
  });

  it('takes intervals away as a stack overflow does, and says so by an error flag', () => {
    const program = `
      E.on('errorFlag', function (flags) { print(flags.join()); });
      setInterval(function () { print('tick'); }, 200);
      setInterval(function () { print('beat'); }, 1000);
    `;
    const bath = bathRunning(program);
    bath.advance(0.5);
    bath.injectFault('control-loop-lost');
    bath.advance(1);
    expect(printedLines(bath)).toEqual(['tick', 'tick', 'CALLBACK', 'beat']);
    expect(bath.callbackNames).toEqual(['interval 1000 ms']);
  });

  it('takes the watch of a pin away, and the pulses go on uncounted', () => {
    const bath = bathRunning(
      'digitalWrite(D25, 1); setWatch(function () { print("pulse"); }, D27, { repeat: true, edge: "rising", debounce: 25 });',
      { tank: { pulsesPerMinute: 60 } },
    );
    bath.advance(10);
    bath.injectFault('rotation-watch-lost');
    const before = printedLines(bath).length;
    expect(before).toBeGreaterThan(5);
    bath.advance(10);
    expect(printedLines(bath)).toHaveLength(before);
    expect(bath.truth.rotationPulses).toBeGreaterThan(15);
  });

  it('keeps files through a restart and forgets variables', () => {
    const program = `
      var storage = require('Storage');
      var boots = Number(storage.read('boots') || '0') + 1;
      storage.write('boots', String(boots));
      print(boots, typeof global.left);
      global.left = 1;
      if (boots < 3) setTimeout(load, 1000);
    `;
    expect(printedBy(program, 10)).toEqual(['1 undefined', '2 undefined', '3 undefined']);
  });

  it('gives the settings file of the board', () => {
    const program = 'print(JSON.parse(require("Storage").read("bathkeeper.json").substr(8)).controllerId);';
    expect(printedBy(program)).toEqual(['north-bench']);
  });

  it('restarts by the watchdog when nobody kicks it', () => {
    const bath = bathRunning('E.enableWatchdog(30, false); print("up");');
    bath.advance(65);
    expect(bath.bootLog.map(({ atSeconds }) => Math.round(atSeconds * 10) / 10)).toEqual([0, 31.5, 63]);
  });

  it('stops everything at E.reboot(), even within try and catch', () => {
    const bath = bathRunning(
      'print("up"); setTimeout(function () { try { E.reboot(); } catch (fault) {} digitalWrite(D25, 1); print("still here"); }, 100);',
    );
    bath.advance(1);
    expect(printedLines(bath)).toEqual(['up']);
    expect(bath.truth.isMotorOn).toBe(false);
  });

  it('throws when no chip answers', () => {
    const program = `
      try { I2C1.writeTo(0x41, 1); print('works'); } catch (fault) { print('throws'); }
      try { I2C1.readFrom(0x41, 1); print('works'); } catch (fault) { print('throws'); }
    `;
    expect(printedBy(program)).toEqual(['throws', 'throws']);
  });

  it('gives the watch of a pin its edges, once they have stood for the debounce time', () => {
    const bath = bathRunning(
      'setWatch(function (e) { print(e.state, Math.round(e.time * 1000)); }, D16, { repeat: true, edge: "falling", debounce: 25 });',
    );
    bath.advance(1);
    bath.press('stop');
    bath.advance(1);
    bath.press('stop');
    bath.advance(1);
    expect(printedLines(bath)).toEqual(['false 1000', 'false 2000']);
  });

  it('counts the pulses of the shaft while the motor turns', () => {
    const program = `
      var pulses = 0;
      setWatch(function () { pulses++; }, D27, { repeat: true, edge: 'rising', debounce: 25 });
      digitalWrite(D25, 1);
      setTimeout(function () { print(pulses); }, 600000);
    `;
    const bath = bathRunning(program);
    bath.advance(601);
    const counted = Number(printedLines(bath)[0]);
    expect(counted).toBeGreaterThanOrEqual(59);
    expect(counted).toBeLessThanOrEqual(61);
    expect(bath.truth.rotationPulses - counted).toBeLessThanOrEqual(1);
  });

  it('switches the network console off when told', () => {
    const bath = bathRunning('setTimeout(function () { require("TelnetServer").setOptions({ mode: "off" }); }, 1000);');
    bath.advance(0.5);
    expect(bath.isTelnetOn).toBe(true);
    bath.advance(1);
    expect(bath.isTelnetOn).toBe(false);
  });
});
