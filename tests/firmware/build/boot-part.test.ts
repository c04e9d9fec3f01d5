/*
 * What runs once at boot and is forgotten: the program starts nothing without the very boot part that belongs to it, and no function that
 * may be called later is cut out with it.
 */
import { createContext, runInContext } from 'node:vm';
import { crc32 } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import type { BuiltFirmware } from '@bathkeeper/firmware/build';
import { outlivingFunctions } from '../../../firmware/build/boot-part.js';
import { builtOnce } from './built-once.js';

let built: BuiltFirmware;
beforeAll(async () => {
  built = await builtOnce();
}, 120_000);

/** Runs the program on a board that has nothing but its files: whatever it touches beside them is a ReferenceError. */
function fault(bootPart: string | undefined): unknown {
  const context = createContext({
    E: { CRC32: (text: string) => crc32(Buffer.from(text, 'latin1')) },
    require: (): unknown => ({ read: (): unknown => bootPart }),
  });
  try {
    runInContext(built.program, context);
  } catch (thrown) {
    return thrown;
  }
  return 'nothing';
}

describe('the program without its boot part', () => {
  it.each([
    ['missing', (): undefined => undefined],
    ['cut short', () => built.bootPart.slice(0, -1)],
    ['of another build', () => `${built.bootPart} `],
  ] as const)('touches no pin and says what to do: %s', (_what, bootPart) => {
    expect(fault(bootPart())).toBe('boot.js missing or foreign: flash again');
  });

  it('goes on with the right one', () => {
    expect(String(fault(built.bootPart))).toMatch(/ReferenceError: \w+ is not defined/);
  });
});

describe('a function within what runs once at boot', () => {
  const within = (text: string): string => `(()=>{onceAtBoot((a,b)=>{var f,r;${text}})(1,2)})()`;

  it.each([
    ['called on the spot', '((c)=>{r=c})(a)'],
    ['given to map', 'r=a.map((c)=>c+1)'],
    ['named and only called', 'f=(c)=>c+1;r=f(a)+f(b)'],
    ['with the name of another function’s value', 'f=(c)=>c+1;r=f(a);r=((f)=>f)(b)'],
  ])('may be %s', (_what, text) => {
    expect(outlivingFunctions(within(text))).toEqual([]);
  });

  it.each([
    ['returned', 'return(c)=>c'],
    ['put into an object', 'r={read:(c)=>c}'],
    ['given to an interval', 'setInterval(()=>{r=1},9)'],
    ['returned by its name', 'f=(c)=>c;r=f(a);return f'],
    ['made by one that is called on the spot', 'return(()=>(c)=>c)()'],
  ])('may not be %s', (_what, text) => {
    expect(outlivingFunctions(within(text))).toHaveLength(1);
  });

  it('is looked at only there', () => {
    expect(outlivingFunctions('(()=>{var f=(c)=>c;setInterval(f,9)})()')).toEqual([]);
  });
});
