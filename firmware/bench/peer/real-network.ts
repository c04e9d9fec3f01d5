/*
 * The real network of a virtual bath that runs in real time: connect() truly blocks this thread until the other side
 * has answered, as on the board; bytes come and go through a second thread. Used by the demonstration only.
 */
import { Worker } from 'node:worker_threads';
import type { BathConnection, BathNetwork } from './bath-network.js';
import { ConnectAnswer, type FromNetworkThread, type ToNetworkThread } from './network-thread-messages.js';

export class RealNetwork implements BathNetwork {
  readonly #thread: Worker;
  readonly #open = new Map<number, { receive: (bytes: Uint8Array) => void; closed: () => void }>();
  #nextId = 1;

  /** `unansweredMilliseconds`: how long a connect is waited for. `threadFile` is the compiled network-thread. */
  constructor(
    readonly unansweredMilliseconds: number,
    threadFile: URL = new URL('./network-thread.js', import.meta.url),
  ) {
    this.#thread = new Worker(threadFile);
    this.#thread.on('message', (message: FromNetworkThread) => {
      const connection = this.#open.get(message.id);
      if (message.kind === 'bytes') connection?.receive(message.bytes);
      else if (this.#open.delete(message.id)) connection?.closed();
    });
  }

  connect(address: string, port: number): BathConnection | 'refused' | 'unanswered' {
    const id = this.#nextId++;
    const answer = new Int32Array(new SharedArrayBuffer(4));
    this.#tell({ kind: 'connect', id, address, port, answer, timeoutMilliseconds: this.unansweredMilliseconds });
    // Nothing else of this bath runs meanwhile: that is the point.
    Atomics.wait(answer, 0, 0, this.unansweredMilliseconds + 1000);
    const outcome = Atomics.load(answer, 0);
    if (outcome === ConnectAnswer.refused) return 'refused';
    if (outcome !== ConnectAnswer.connected) return 'unanswered';
    const ends = { receive: (_bytes: Uint8Array): void => undefined, closed: (): void => undefined };
    this.#open.set(id, ends);
    return {
      write: (bytes) => {
        this.#tell({ kind: 'write', id, bytes: new Uint8Array(bytes) });
      },
      close: () => {
        this.#open.delete(id);
        this.#tell({ kind: 'close', id });
      },
      onBytes: (receive) => {
        ends.receive = receive;
      },
      onClose: (closed) => {
        ends.closed = closed;
      },
    };
  }

  async end(): Promise<void> {
    await this.#thread.terminate();
  }

  #tell(message: ToNetworkThread): void {
    this.#thread.postMessage(message);
  }
}
