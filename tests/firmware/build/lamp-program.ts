/*
 * A small program for the tests of the build: own names that must be shortened, names that must not, quoted keys, and
 * one-letter keys from a table, as those of the wire are. Kept as text, because its globals are the interpreter's.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

export const LAMP_PROGRAM = `
const Key = { phase: 'a', current: 'b', spare: 'on' } as const;
const lamp = { brightnessPercent: 40, switchedOnSeconds: 0, isWarm: false };

function pulseCounter() {
  let countedPulses = 0;
  return {
    addPulse: (): number => (countedPulses += 1),
    countedSoFar: (): number => countedPulses,
  };
}

function lampMessage(counter: ReturnType<typeof pulseCounter>): Record<string, number> {
  const message: Record<string, number> = { 'v': 1 };
  message[Key.phase] = lamp.brightnessPercent;
  message[Key.current] = lamp.switchedOnSeconds;
  message['longQuotedKey'] = counter.addPulse();
  return message;
}

const pulses = pulseCounter();
for (let i = 0; i < 3; i++) {
  lamp.switchedOnSeconds += i;
  lamp.isWarm = lamp.switchedOnSeconds > 1;
}
print(JSON.stringify(lampMessage(pulses)), lamp.isWarm, pulses.countedSoFar(), [1, 2].indexOf(2));
print(JSON.parse('{"longQuotedKey":5}')['longQuotedKey'], \`\${lamp.brightnessPercent} %\`);
setTimeout(() => {
  I2C1.setup({ scl: D22, sda: D21, bitrate: 400000 });
  I2C1.writeTo(0x40, lamp.switchedOnSeconds);
  print('later ' + typeof E.getErrorFlags().length);
}, 5000);
`;

/** What LAMP_PROGRAM prints before its timer fires. */
export const LAMP_LINES = ['{"v":1,"a":40,"b":3,"longQuotedKey":1} true 1 1', '5 40 %'];

/** Writes a program to a folder of its own, removed when the test ends; answers its path. */
export function programFile(text: string, name = 'program.ts'): string {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-build-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}
