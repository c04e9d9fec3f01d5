/*
 * A board at the other end of a port, for tests of flashing: takes lines as the interpreter's console does, runs them in a bare
 * context with Storage, and can lack room, lose bytes, be silent, or say that it is energised.
 */
import { createContext, runInContext } from 'node:vm';
import { crc32 } from 'node:zlib';
import type { BytePort } from '../../../firmware/build/flash-console.js';

export class StandInBoard implements BytePort {
  readonly files = new Map<string, string>();
  readonly told: string[] = [];
  boardId = 'ESP32';
  capacityBytes = 800_000;
  /** What the running program says to `bringUp(1)`; undefined: no program of ours runs. */
  refusal: string | undefined = '';
  isSilent = false;
  /** Pieces, counted from 1, that lose their last byte. */
  losesByteOf: (piece: number) => boolean = () => false;
  closed = 0;
  bytesWritten = '';
  #pieces = 0;
  #listener: (text: string) => void = () => undefined;

  onData(listener: (text: string) => void): void {
    this.#listener = listener;
  }
  close(): Promise<void> {
    this.closed++;
    return Promise.resolve();
  }

  write(text: string): void {
    this.bytesWritten += text;
    if (this.isSilent) return;
    const line = text.replace(/^\x10/, '');
    const context = createContext({
      print: (value: string) => {
        this.#listener(`\r\n${value}\r\n>`);
      },
      process: { env: { BOARD: this.boardId }, version: '2v29' },
      E: {
        CRC32: (bytes: string) => crc32(Buffer.from(bytes, 'latin1')) | 0,
        enableWatchdog: () => this.told.push('watchdog'),
      },
      atob,
      require: () => this.#storage(),
      reset: () => {
        this.told.push('reset');
        this.refusal = undefined;
      },
      load: () => {
        this.told.push('load');
        this.refusal = this.files.get('.bootcde') === undefined ? undefined : '';
      },
      ...(this.refusal === undefined ? {} : { bringUp: () => this.refusal }),
    });
    runInContext(line, context);
  }

  #storage(): object {
    const used = (): number => [...this.files.values()].reduce((sum, text) => sum + text.length, 0);
    return {
      read: (name: string, from = 0, length?: number) =>
        this.files.get(name)?.slice(from, length === undefined ? undefined : from + length),
      write: (name: string, text: string, offset = 0, size = 0) => {
        const before = this.files.get(name) ?? '';
        const room = this.capacityBytes - used() + before.length;
        if (Math.max(size, offset + text.length) > room) return false;
        this.#pieces++;
        const piece = this.losesByteOf(this.#pieces) ? text.slice(0, -1) : text;
        const whole = before.padEnd(Math.max(size, offset), '\xff');
        this.files.set(name, whole.slice(0, offset) + piece + whole.slice(offset + piece.length));
        this.told.push(`write ${name}`);
        return true;
      },
      erase: (name: string) => {
        this.files.delete(name);
        this.told.push(`erase ${name}`);
      },
      getFree: () => this.capacityBytes - used(),
      compact: () => this.told.push('compact'),
    };
  }
}
