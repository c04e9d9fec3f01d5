/*
 * The program as it lies in flash: words and operators of the language as one byte each, texts with their length before them, so that the
 * interpreter reads less and passes over faster. The espruino tools do it; every interpreter since 2v21 reads it. Called by the bundler.
 * What the tools do not bring over whole (`a - -b` loses its space) is refused, never passed on.
 */
import { parse } from 'acorn';
import { full } from 'acorn-walk';
import { espruinoTools } from './espruino-tools.js';

/**
 * Texts are kept raw, which interpreters do since 2v21; numbers stay as they are written, since one digit is shorter than a number of two bytes.
 */
const READ_BY = '2v21';
const BY_VERSION = 1;

/** The syntax tree as text, without places and without the way in which a literal was written. */
function tree(code: string): string {
  const program = parse(code, { ecmaVersion: 2015, allowReturnOutsideFunction: true });
  return JSON.stringify(program, (key, value: unknown) => (['start', 'end', 'raw'].includes(key) ? undefined : value));
}

/** True when both texts are the same program. */
function isSameProgram(code: string, other: string): boolean {
  try {
    return tree(code) === tree(other);
  } catch {
    return false;
  }
}

/** Words that are one byte as a token, where the minifier writes two signs instead. */
const WORDS: Readonly<Record<string, string>> = { '!0': 'true', '!1': 'false', 'void 0': 'undefined' };

function inWords(code: string): string {
  const places: { start: number; end: number; word: string }[] = [];
  full(parse(code, { ecmaVersion: 2015, allowReturnOutsideFunction: true }), ({ type, start, end }) => {
    const word = WORDS[code.slice(start, end)];
    if (type === 'UnaryExpression' && word !== undefined) places.push({ start, end, word });
  });
  let text = '';
  let at = 0;
  for (const { start, end, word } of places.sort((a, b) => a.start - b.start)) {
    text += `${code.slice(at, start)} ${word}`;
    at = end;
  }
  return text + code.slice(at);
}

/**
 * The tokens of a program's text, one character a byte. Throws when they would not be the same program.
 * Example: `await inTokens('return a===b')`.
 */
export async function inTokens(code: string): Promise<string> {
  const { Config, Core, Plugins } = await espruinoTools();
  const { getBoardData } = Core.Env;
  const { PRETOKENISE } = Config;
  Config.PRETOKENISE = BY_VERSION;
  Core.Env.getBoardData = () => ({ VERSION: READ_BY });
  try {
    const worded = inWords(code);
    const tokens = Plugins.Pretokenise.tokenise(worded);
    if (!isSameProgram(worded, Plugins.Pretokenise.untokenise(tokens))) {
      throw new Error(
        'The espruino tools turn this program into tokens of another one. Expected the same syntax tree; write what two signs in a row (a - -b) say in another way, or look at the installed version of espruino.',
      );
    }
    return tokens;
  } finally {
    Config.PRETOKENISE = PRETOKENISE;
    Core.Env.getBoardData = getBoardData;
  }
}

/** The text again that tokens stand for. */
export async function fromTokens(tokens: string): Promise<string> {
  return (await espruinoTools()).Plugins.Pretokenise.untokenise(tokens);
}

/** A text of any bytes as a literal that the interpreter reads byte for byte. */
export function quotedBytes(text: string): string {
  const escaped = [...text].map((character) => {
    const code = character.charCodeAt(0);
    return code < 32 || code > 126
      ? `\\x${code.toString(16).padStart(2, '0')}`
      : /["\\]/.test(character)
        ? `\\${character}`
        : character;
  });
  return `"${escaped.join('')}"`;
}
