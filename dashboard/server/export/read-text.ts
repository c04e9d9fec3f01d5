/* Bytes of a file as text, and text as JSON, each refused in words with the line at which it breaks. Used by the three readers; throws UnreadableRun. */
import { JSONParser } from '@streamparser/json';
import { shownCell, UnreadableRun } from './unreadable-run.js';

const SHOWN_CHARACTERS = 40;

/** Takes a file piece by piece. A byte order mark in front is left out. `placeOf`: how a line of it is called. */
export function utf8Reader(placeOf: (line: number) => string): (bytes: Uint8Array, isLast: boolean) => string {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  let line = 1;
  return (bytes, isLast) => {
    let text: string;
    try {
      text = decoder.decode(bytes, { stream: !isLast });
    } catch {
      const before = new TextDecoder().decode(bytes).split('\ufffd')[0]!;
      throw new UnreadableRun(placeOf(line + lineEnds(before)), 'expected text in UTF-8, got bytes that are none. If a program wrote it anew, let it write UTF-8.'); // prettier-ignore
    }
    line += lineEnds(text);
    return text;
  };
}

function lineEnds(text: string): number {
  let count = 0;
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) count++;
  return count;
}

/** Follows a document through the parser, so that a fault can be told by what stands where it lies. */
export class JsonText {
  private readonly encoder = new TextEncoder();
  private bytesBefore = 0;
  /** Of the last token, from the beginning of the document. */
  tokenAt = 0;

  constructor(
    private readonly parser: Pick<JSONParser, 'write'>,
    private readonly placeOf: () => string,
  ) {}

  write(text: string): void {
    const bytes = this.encoder.encode(text);
    try {
      this.parser.write(bytes);
    } catch (fault) {
      if (fault instanceof UnreadableRun) throw fault;
      throw new UnreadableRun(this.placeOf(), `expected JSON, got ${shownCell(this.around(bytes, fault as Error))}.`);
    }
    this.bytesBefore += bytes.length;
  }

  /** Bytes that came since the last token ended: how long a text is that is not yet whole. */
  get sinceToken(): number {
    return this.bytesBefore - this.tokenAt;
  }

  private around(bytes: Uint8Array, { message }: Error): string {
    const inChunk = /chunk position "(\d+)"/.exec(message)?.[1];
    const at = inChunk === undefined ? Math.max(0, this.tokenAt - this.bytesBefore) : Number(inChunk);
    const [before, after] = [bytes.subarray(0, at), bytes.subarray(at)].map((part) => Buffer.from(part).toString());
    const word = /[^\s,:[\]{}]{0,20}$/.exec(before!)![0];
    return (word + after!).trimEnd().slice(0, SHOWN_CHARACTERS);
  }
}

/** Throws with the line, counted within this text, where it is no JSON. */
export function jsonOf(text: string, place: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw jsonFault(text, place);
  }
}

/** The library's message tells a position and the engine's none that is the same everywhere: read once more, line by line. */
function jsonFault(text: string, place: string): unknown {
  const parser = new JSONParser({ paths: ['$'] });
  let line = 1;
  const lines = text.split('\n');
  const placeOf = (): string => (lines.length === 1 ? place : `${place}, line ${String(line)}`);
  const read = new JsonText(parser, placeOf);
  parser.onValue = () => undefined;
  parser.onToken = ({ offset }) => void (read.tokenAt = offset);
  try {
    for (const [index, one] of lines.entries()) {
      const isLast = index === lines.length - 1;
      read.write(isLast ? one : `${one}\n`);
      if (!isLast) line++;
    }
  } catch (fault) {
    return fault;
  }
  return new UnreadableRun(placeOf(), 'expected JSON, and it ends in the middle: it was cut off.');
}
