/*
 * The program in tokens means what its text means: read back it has the same syntax tree, whatever stands in it. That the interpreter reads
 * it so too is shown in tests/interpreter, where all programs run in tokens.
 */
import { parse, type Node } from 'acorn';
import fc from 'fast-check';
import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { fromTokens, inTokens, quotedBytes } from '@bathkeeper/firmware/build';
import { builtOnce } from './built-once.js';

/** What a word stands for: `!0` is `true`, and is written so in tokens. */
const WORDS: Readonly<Record<string, unknown>> = {
  '!0': { type: 'Literal', value: true },
  '!1': { type: 'Literal', value: false },
  void0: { type: 'Identifier', name: 'undefined' },
};

/** The tree without places and without the way in which a literal was written. */
function tree(code: string): unknown {
  const program = parse(code, { ecmaVersion: 2015, allowReturnOutsideFunction: true });
  return JSON.parse(
    JSON.stringify(program, (key, value: Node & { operator?: string; argument?: { value?: unknown } }) => {
      if (['start', 'end', 'raw'].includes(key)) return undefined;
      const word = value?.type === 'UnaryExpression' ? `${value.operator}${String(value.argument?.value)}` : '';
      return WORDS[word] ?? value;
    }),
  );
}

describe('a program in tokens', () => {
  it('is the program: the same tree for the whole bundle, in fewer bytes', async () => {
    const { program, tokens, bytes } = await builtOnce();
    expect(tree(await fromTokens(tokens))).toEqual(tree(program));
    expect(tokens).toMatch(/^[^\0\u0100-\uffff]+$/);
    expect(bytes).toBe(tokens.length);
    expect(tokens.length).toBeLessThan(0.93 * program.length);
  }, 240_000);

  it.each([
    'var a=1,b=a>>>2>>1;if(a===b||!(a!==b))a<<=2;else for(;a<=9;a++){b-=-a;b=b-(a-b)}',
    'var f=(a,b)=>{try{throw a}catch(b){return typeof b in{return:1}}},g=[1,-2,3.5e-9,0x1f,""]',
    `var t='quotes " and \\' and \\\\ and \\x01 \\n',u="${'long '.repeat(80)}";delete t.x;void 0;new Date(0)`,
  ])('keeps operators, words and texts: %s', async (code) => {
    expect(tree(await fromTokens(await inTokens(code)))).toEqual(tree(code));
  });

  it('has true, false and undefined as words of one byte', async () => {
    const [short, long] = await Promise.all([inTokens('a=!0,b=!1,c=void 0'), inTokens('a=1,b=1,c=1')]);
    expect(short.length).toBe(long.length);
    expect(tree(await fromTokens(short))).toEqual(tree('a=true,b=false,c=undefined'));
  });

  it('is refused where the tools would make another program of it', async () => {
    await expect(inTokens('b=b- -a')).rejects.toThrow('tokens of another one');
  });

  it('is written as a literal that gives every byte back', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 255 })), (bytes) => {
        const text = String.fromCharCode(...bytes);
        const literal = quotedBytes(text);
        expect(literal).toMatch(/^[ -~]*$/);
        expect(runInNewContext(literal)).toBe(text);
      }),
    );
  });
});
