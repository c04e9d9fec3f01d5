/*
 * The console of a board at a serial port, as `flash` uses it: one question at a time, answered between two marks. It sends no
 * Ctrl-C (one such byte takes callbacks away from a running program) and nothing at all that was not asked for. Used by flash-board.ts.
 */
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';

/** Bytes to and from a board. Text carries bytes. */
export interface BytePort {
  write(text: string): void;
  onData(listener: (text: string) => void): void;
  close(): Promise<void>;
}

/** The port cannot be used, or the board does not do what it should; the message says what to do next. */
export class FlashRefused extends Error {}

const ANSWER_MS = 6000;
/** Unbroken, the marks never stand in what was typed, so an echo is not taken for an answer. */
const BEGIN = '<<<';
const END = '>>>';

interface SerialPortLike {
  on(event: 'data', listener: (bytes: Buffer) => void): void;
  write(bytes: Buffer): void;
  close(done: () => void): void;
}
type SerialPortConstructor = new (
  options: Record<string, unknown>,
  opened: (error: Error | null) => void,
) => SerialPortLike;

/** Throws FlashRefused when there is no such port; asked before a minute is spent on building. */
export function refuseMissingPort(path: string): void {
  if (!path.startsWith('/') || existsSync(path)) return;
  throw new FlashRefused(
    `There is no port ${path}. Is the board plugged in, with a cable that carries data? Look with: ls /dev/tty{USB,ACM}*`,
  );
}

/** Opens a serial port with the tools' own serial package; throws FlashRefused when it is missing, busy or not permitted. */
export async function openSerialPort(path: string, baud = 115200): Promise<BytePort> {
  refuseMissingPort(path);
  const fromTools = createRequire(createRequire(import.meta.url).resolve('espruino/package.json'));
  let SerialPort: SerialPortConstructor;
  try {
    ({ SerialPort } = fromTools('serialport') as { SerialPort: SerialPortConstructor });
  } catch (error) {
    throw new FlashRefused(
      `The serial package of the espruino tools cannot be loaded (${(error as Error).message}). Run npm install again, with its optional packages.`,
    );
  }
  const port = await new Promise<SerialPortLike>((resolve, reject) => {
    const opening = new SerialPort({ path, baudRate: baud, xon: true, xoff: true }, (error) => {
      if (error) reject(new FlashRefused(openingFault(path, error.message)));
      else resolve(opening);
    });
  });
  return {
    write: (text) => {
      port.write(Buffer.from(text, 'latin1'));
    },
    onData: (listener) => {
      port.on('data', (bytes) => {
        listener(bytes.toString('latin1'));
      });
    },
    close: () =>
      new Promise((resolve) => {
        port.close(() => {
          resolve();
        });
      }),
  };
}

/** What an error of opening means to a person. Example: `Error: Permission denied, cannot open x` names the group to join. */
export function openingFault(path: string, message: string): string {
  if (/permission|EACCES/i.test(message))
    return `No permission for ${path}. On Linux the group dialout has it: sudo usermod -aG dialout $USER, then log in again.`;
  if (/lock|busy|EBUSY|temporarily/i.test(message))
    return `The port ${path} is in use. Close the other terminal (or what else holds it), then try again.`;
  return `The port ${path} does not open: ${message}. Is it a serial port?`;
}

export class BoardConsole {
  #received = '';
  #onReceived: () => void = () => undefined;

  constructor(
    readonly port: BytePort,
    /** Time that passes; tests have their own. */
    readonly wait: (milliseconds: number) => Promise<void> = (milliseconds) =>
      new Promise((resolve) => {
        setTimeout(resolve, milliseconds);
      }),
  ) {
    port.onData((text) => {
      this.#received += text;
      this.#onReceived();
    });
  }

  /** The value of an expression on the board; undefined when no answer came. A thrown error is thrown here. */
  async ask(expression: string, timeoutMs = ANSWER_MS): Promise<unknown> {
    const answered = new Promise<string>((resolve) => {
      this.#received = '';
      this.#onReceived = () => {
        const begin = this.#received.indexOf(BEGIN);
        const end = begin < 0 ? -1 : this.#received.indexOf(END, begin);
        if (end >= 0) resolve(this.#received.slice(begin + BEGIN.length, end));
      };
    });
    // The byte 16 at the beginning of a line: it is not echoed.
    this.port.write(
      `\x10print("<"+"<<"+(function(){try{return JSON.stringify([${expression}])}catch(e){return JSON.stringify("! "+e)}})()+">"+">>")\n`,
    );
    const text = await Promise.race([answered, this.wait(timeoutMs).then(() => undefined)]);
    this.#onReceived = () => undefined;
    if (text === undefined) return undefined;
    let value: unknown;
    try {
      value = JSON.parse(text);
    } catch {
      throw new FlashRefused(
        `The board answered ${JSON.stringify(text)}: that is no answer. Unplug it, plug it in, try again.`,
      );
    }
    if (!Array.isArray(value)) throw new FlashRefused(`The board refused ${expression}: ${String(value).slice(2)}.`);
    return value[0];
  }

  /** The same question until it is answered. */
  async askPatiently(expression: string, tries: number): Promise<unknown> {
    for (let attempt = 0; attempt < tries; attempt++) {
      const value = await this.ask(expression, 1500);
      if (value !== undefined) return value;
    }
    return undefined;
  }

  /** A statement that has no answer, as `reset()`. */
  tell(statement: string): void {
    this.port.write(`\x10${statement}\n`);
  }
}
