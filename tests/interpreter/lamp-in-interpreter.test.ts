/*
 * One small program through the whole toolchain: built, passed by the gate, run in Node and in the real interpreter, with the
 * same lines from both. And the prelude's stand-ins, which must act alike in both, since every later scenario leans on them.
 */
import { describe, expect, it } from 'vitest';
import { buildFirmware, instrumentFunctions, permittedGlobals, refusals, RAN_GLOBAL } from '@bathkeeper/firmware/build';
import { LAMP_LINES, LAMP_PROGRAM, programFile } from '../firmware/build/lamp-program.js';
import { ESPRUINO_BIN, prelude, runInInterpreter, runInNode, SKIPPED_WITHOUT } from './interpreter-run.js';

const VIRTUAL = { clock: 'virtual', network: 'memory' } as const;

/** Asks the stand-ins for what they are there for, and prints what they say. */
const STAND_IN_TOUR = `
var seen = [];
setInterval(function () { seen.push(Math.round((getTime() - 1000) * 1000)); }, 200);
world.advance(1);
print('intervals', seen.join());
seen = [];
world.block(1);
world.advance(0);
print('catches up', seen.length);
setTimeout(function () { throw new Error('on purpose'); }, 10);
world.advance(0.1);
print('faults', world.faults.join());
try { clearTimeout(); } catch (fault) { print('clearTimeout refused'); }
I2C1.writeTo(0x40, 0xfe);
print('monitor', I2C1.readFrom(0x40, 2).join());
I2C1.writeTo(0x40, 0x05, 0x0a, 0x00);
print('calibration', I2C1.readFrom(0x40, 2).join());
world.monitor.powerUp();
print('brown-out', I2C1.readFrom(0x40, 2).join());
I2C1.writeTo(0x60, 0x03, 0x20);
print('set-point', world.setPointAmps(), I2C1.readFrom(0x60, 3).join());
I2C1.writeTo(0x50, 0x7f, 0xff, [1, 2], 'A');
I2C1.writeTo(0x50, 0x7f, 0xff);
print('memory wraps', I2C1.readFrom(0x50, 3).join());
world.monitor.isSilent = true;
try { I2C1.readFrom(0x40, 2); } catch (fault) { print('silent throws'); }
world.monitor.isSilent = false;
var probe = new OneWire(D4);
print('presence', probe.reset());
probe.skip(); probe.write(0xbe);
print('power-on frame', probe.read(9).join());
probe.reset(); probe.skip(); probe.write(0x44);
world.advance(0.8);
probe.reset(); probe.skip(); probe.write(0xbe);
print('24 degrees', probe.read(9).join());
var pulses = 0;
setWatch(function () { pulses++; }, D27, { repeat: true, edge: 'rising', debounce: 25 });
world.pulse(27); world.pulse(27);
print('pulses', pulses);
digitalWrite(D2, 1); digitalWrite(D19, 1); digitalWrite(D18, 1);
world.press('start');
print('without latch', digitalRead(D32));
world.resetLatch();
world.press('start');
print('closed', digitalRead(D32), world.amps());
world.advance(21);
print('one-shot ran out', digitalRead(D32), world.contactorDrops);
require('Storage').write('a.json', '{"k":1}');
print('storage', require('Storage').readJSON('a.json', true).k, require('Storage').readJSON('b.json', true));
var heard = '';
var socket = require('net').connect({ host: '127.0.0.1', port: 1883 }, function (open) {
  open.on('data', function (bytes) { heard += bytes; });
  open.write(String.fromCharCode(0xc0, 0));
});
world.advance(0.2);
print('ping answered', heard.length, heard.charCodeAt(0), world.dials.length);
world.network = 'unanswered';
var before = getTime();
try { require('net').connect({ host: '127.0.0.1', port: 1883 }, print); } catch (fault) { print('blocked', Math.round(getTime() - before)); }
`;

const TOUR_LINES = [
  'intervals 200,400,600,800,1000',
  'catches up 5',
  'CALLBACK THREW on purpose',
  'faults on purpose',
  'clearTimeout refused',
  // Manufacturer and die number, SBOS547 table 4; the calibration of TI's example; the register's power-on value.
  'monitor 84,73',
  'calibration 10,0',
  'brown-out 0,0',
  'set-point 8 192,50,0',
  'memory wraps 1,2,65',
  'silent throws',
  'presence true',
  // 85.0 C (DS18B20 data sheet, table 1); the check byte is computed by another routine than the firmware's.
  'power-on frame 80,5,75,70,127,255,12,16,28',
];

describe('a program through the toolchain', () => {
  it('does in Node what its sources say, timers included', async () => {
    const { code } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    const { lines, thrown } = runInNode([await prelude(VIRTUAL), code, 'world.advance(6);']);
    expect(thrown).toBeUndefined();
    expect(lines).toEqual([...LAMP_LINES, 'later number']);
  });

  it('meets stand-ins that answer as the chips do', async () => {
    const { lines, thrown } = runInNode([await prelude(VIRTUAL), STAND_IN_TOUR]);
    expect(thrown).toBeUndefined();
    expect(lines.slice(0, TOUR_LINES.length)).toEqual(TOUR_LINES);
    expect(lines.slice(TOUR_LINES.length)).toEqual([
      expect.stringMatching(/^24 degrees 128,1,75,70,127,255,12,16,\d+$/),
      'pulses 2',
      'without latch 0',
      'closed 1 8',
      'one-shot ran out 0 1',
      'storage 1 undefined',
      'ping answered 2 208 1',
      'blocked 15',
    ]);
  });

  it('has a prelude in which the gate finds nothing that the interpreter would not run', async () => {
    const text = await prelude(VIRTUAL);
    const seen = refusals(text, permittedGlobals()).map((one) => one.found);
    // The interpreter's own names are asked for before they are taken over: that is what the prelude is for.
    const takenOver = /^(E|NRF|require|getTime|world|process|print|global) before its declaration$/;
    expect(seen.filter((found) => !takenOver.test(found))).toEqual([]);
  });
});

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}the real interpreter`, () => {
  const espruinoBin = ESPRUINO_BIN!;

  it('prints the same lines as Node for a built program', async () => {
    const { code } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    const scripts = [await prelude(VIRTUAL), code, 'world.advance(6);'];
    const run = await runInInterpreter({ espruinoBin, scripts, timeoutMs: 20_000 });
    expect(run.hasEnded, run.stdout).toBe(true);
    expect(run.lines).toEqual(runInNode(scripts).lines);
    expect(run.lines).toHaveLength(LAMP_LINES.length + 1);
  });

  it('meets the same stand-ins as Node', async () => {
    const scripts = [await prelude(VIRTUAL), STAND_IN_TOUR];
    const run = await runInInterpreter({ espruinoBin, scripts, timeoutMs: 20_000 });
    expect(run.hasEnded, run.stdout).toBe(true);
    expect(run.lines).toEqual(runInNode(scripts).lines);
  });

  it('says which functions of a built program ran', async () => {
    const { code } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    const marked = instrumentFunctions(code);
    const report = `print('ran', ${RAN_GLOBAL}.join(''));`;
    const scripts = [await prelude(VIRTUAL), marked.code, report, 'world.advance(6);', report];
    const run = await runInInterpreter({ espruinoBin, scripts, timeoutMs: 20_000 });
    const reports = run.lines.filter((line) => line.startsWith('ran '));
    expect(reports).toHaveLength(2);
    // The timer's function runs only when its time has come.
    expect(reports[0]).toContain('0');
    expect(reports[1]).toBe(`ran ${'1'.repeat(marked.count)}`);
  });

  it('does not count a run as ended when a script throws before its end', async () => {
    const run = await runInInterpreter({
      espruinoBin,
      scripts: ['print("first");', 'nowhere();', 'print("second");'],
      timeoutMs: 3_000,
    });
    expect(run.lines).toContain('first');
    expect(run.lines).not.toContain('second');
    expect(run.hasEnded).toBe(false);
  });
});
