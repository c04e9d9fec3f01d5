/*
 * The program as it lies in flash: words and operators of the language as one byte each, texts with their length before them, so that the
 * interpreter reads less and passes over faster. The espruino tools do it; every interpreter since 2v21 reads it. Called by the bundler.
 * It changes nothing that the program means, and works on text of one byte a character.
 */
import { espruinoTools } from './espruino-tools.js';

/**
 * Texts are kept raw, which interpreters do since 2v21; numbers stay as they are written, since one digit is shorter than a number of two bytes.
 */
const READ_BY = '2v21';
const BY_VERSION = 1;

/** The tokens of a program's text, one character a byte. Example: `await inTokens('return a===b')`. */
export async function inTokens(code: string): Promise<string> {
  const { Config, Core, Plugins } = await espruinoTools();
  const { getBoardData } = Core.Env;
  const { PRETOKENISE } = Config;
  Config.PRETOKENISE = BY_VERSION;
  Core.Env.getBoardData = () => ({ VERSION: READ_BY });
  try {
    return Plugins.Pretokenise.tokenise(code);
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
    return code < 32 || code > 126 ? `\\x${code.toString(16).padStart(2, '0')}` : /["\\]/.test(character) ? `\\${character}` : character;
  });
  return `"${escaped.join('')}"`;
}
