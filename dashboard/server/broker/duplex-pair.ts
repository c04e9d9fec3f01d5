/*
 * Two ends of a connection within one process, without sockets. Used by the ingest, by the rehearsal and by tests.
 */
import { Duplex } from 'node:stream';

class End extends Duplex {
  other!: End;
  #resume: (() => void) | undefined;

  override _read(): void {
    const resume = this.#resume;
    this.#resume = undefined;
    resume?.();
  }
  override _write(chunk: Buffer, _encoding: BufferEncoding, done: (fault?: Error | null) => void): void {
    const { other } = this;
    if (other.destroyed || other.readableEnded) done();
    else if (other.push(chunk)) done();
    else other.#resume = done;
  }
  override _final(done: () => void): void {
    if (!this.other.destroyed) this.other.push(null);
    done();
  }
  override _destroy(fault: Error | null, done: (fault: Error | null) => void): void {
    const { other } = this;
    if (!other.destroyed) setImmediate(() => other.destroy());
    done(fault);
  }
}

export function duplexPair(): [Duplex, Duplex] {
  const one = new End();
  const two = new End();
  one.other = two;
  two.other = one;
  // An end that is cut shows as close; nobody needs the error beside it.
  for (const end of [one, two]) end.on('error', () => end.destroy());
  return [one, two];
}
