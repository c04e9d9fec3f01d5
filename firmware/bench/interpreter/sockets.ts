/*
 * The `net` and `dgram` modules of one boot. connect() blocks as the board's does: the bath's time goes on inside the call
 * and no callback runs. Bytes arrive in chunks of up to 536, split and joined as a seed decides; what is
 * written leaves when the callback has ended.
 */
import type { BathConnection, BathNetwork } from '../peer/bath-network.js';
import type { SeededNoise } from '../seeded-noise.js';
import { bytesOfText, textOf } from './bytes.js';

const CONNECT_SECONDS = 0.05;
/** Neither accepted nor refused: how long the board's stack keeps trying (10 to 15 s on ESP32). */
export const UNANSWERED_SECONDS = 15;
const CHUNK_BYTES = 536;
/** After a loss of the network the other side notices by its keep-alive: 1.5 times 15 s. */
const PEER_NOTICES_SECONDS = 22.5;

/** What the sockets need of the boot they belong to. */
export interface SocketHost {
  readonly network: BathNetwork;
  readonly noise: SeededNoise;
  /** False: the network stands on a chip of its own, and what becomes of a dial is told later. */
  readonly dialingBlocks: boolean;
  /** Overrides the network while a fault stands. */
  networkTrouble(): 'none' | 'lost' | 'unanswered';
  /** Lets the bath's time pass without any callback. */
  block(seconds: number): void;
  queue(event: () => void): void;
  afterCallback(run: () => void): void;
  /** On the bath's clock, not on the program's. */
  after(seconds: number, run: () => void): void;
  fail(message: string): never;
}

type Listener = (...values: never[]) => void;

class Emitter {
  readonly #listeners = new Map<string, Listener[]>();
  on(event: string, listener: Listener): void {
    this.#listeners.set(event, [...(this.#listeners.get(event) ?? []), listener]);
  }
  has(event: string): boolean {
    return this.#listeners.has(event);
  }
  /** The interpreter took the handler away. */
  forget(event: string): boolean {
    return this.#listeners.delete(event);
  }
  emit(event: string, ...values: unknown[]): void {
    for (const listener of this.#listeners.get(event) ?? []) (listener as (...all: unknown[]) => void)(...values);
  }
}

class TcpSocket {
  readonly emitter = new Emitter();
  #incoming: Uint8Array[] = [];
  #isDelivering = false;
  #outgoing: Uint8Array[] = [];
  /** No byte gets through any more, and nobody is told. */
  #isDead = false;
  #isClosed = false;
  #endsAfterSending = false;
  #peerIsGone = false;
  #peerWasTold = false;

  constructor(
    readonly host: SocketHost,
    readonly connection: BathConnection,
  ) {
    connection.onBytes((bytes) => {
      if (this.#isDead || this.#isClosed) return;
      this.#incoming.push(bytes);
      this.#deliverSoon();
    });
    connection.onClose(() => {
      if (this.#isDead || this.#isClosed) return;
      this.#peerIsGone = true;
      this.#deliverSoon();
    });
  }

  get isOver(): boolean {
    return this.#isClosed && (this.#peerWasTold || this.#peerIsGone);
  }

  write(text: string): boolean {
    if (this.#isClosed) this.host.fail('This socket is closed');
    this.#outgoing.push(bytesOfText(String(text)));
    if (this.#outgoing.length === 1) this.host.afterCallback(() => this.#flush());
    return false;
  }

  end(text?: string): void {
    if (this.#isClosed) return;
    if (text !== undefined) this.write(text);
    this.#endsAfterSending = true;
    this.host.afterCallback(() => this.#flush());
  }

  /** The network takes this connection with it. The other side finds out later, this side never. */
  die(): void {
    if (this.#isDead || this.#isClosed) return;
    this.#isDead = true;
    this.#outgoing = [];
    this.host.after(PEER_NOTICES_SECONDS, () => {
      this.#tellPeer();
    });
  }

  /** The board went down: nothing more is sent or heard. */
  drop(): void {
    this.#isClosed = true;
    this.#outgoing = [];
    this.#tellPeer();
  }

  #tellPeer(): void {
    if (this.#peerWasTold || this.#peerIsGone) return;
    this.#peerWasTold = true;
    this.connection.close();
  }

  #flush(): void {
    if (this.#isClosed) return;
    const bytes = this.#outgoing;
    this.#outgoing = [];
    if (bytes.length > 0 && !this.#isDead) this.connection.write(bytes.length === 1 ? bytes[0]! : Buffer.concat(bytes));
    if (!this.#endsAfterSending) return;
    this.#isClosed = true;
    if (!this.#isDead) this.#tellPeer();
    this.host.queue(() => {
      this.emitter.emit('end');
      this.emitter.emit('close', false);
    });
  }

  #deliverSoon(): void {
    if (this.#isDelivering) return;
    this.#isDelivering = true;
    this.host.queue(() => {
      this.#isDelivering = false;
      this.#deliver();
    });
  }

  #deliver(): void {
    if (this.#isClosed) return;
    if (this.#incoming.length > 0 && this.emitter.has('data')) {
      const all = this.#incoming.length === 1 ? this.#incoming[0]! : new Uint8Array(Buffer.concat(this.#incoming));
      // One time in four the stream breaks at some place of its own.
      const roll = this.host.noise.uint32();
      const most = Math.min(all.length, CHUNK_BYTES);
      const length = (roll & 3) === 0 ? 1 + ((roll >>> 2) % most) : most;
      this.#incoming = length < all.length ? [all.subarray(length)] : [];
      if (this.#incoming.length > 0 || this.#peerIsGone) this.#deliverSoon();
      this.emitter.emit('data', textOf(all.subarray(0, length)));
    } else if (this.#peerIsGone) {
      this.#isClosed = true;
      this.emitter.emit('end');
      this.emitter.emit('close', false);
    }
  }
}

export class Sockets {
  #tcp: TcpSocket[] = [];
  readonly #udp: { port: number; emitter: Emitter }[] = [];

  constructor(readonly host: SocketHost) {}

  /** `require('net')` */
  netModule(): object {
    return { connect: (options: unknown, onConnected: unknown) => this.#connect(options, onConnected) };
  }

  /** `require('dgram')` */
  datagramModule(): object {
    return {
      createSocket: (_type: unknown, onMessage?: Listener) => {
        const emitter = new Emitter();
        if (typeof onMessage === 'function') emitter.on('message', onMessage);
        const socket = {
          on: (event: string, listener: Listener) => {
            emitter.on(event, listener);
          },
          bind: (port: number, onBound?: (bound: object) => void) => {
            this.#udp.push({ port, emitter });
            if (typeof onBound === 'function') {
              this.host.queue(() => {
                onBound(socket);
              });
            }
            return socket;
          },
          /** Nobody listens to what a bath says by UDP. */
          send: () => undefined,
          close: () => {
            const index = this.#udp.findIndex((bound) => bound.emitter === emitter);
            if (index >= 0) this.#udp.splice(index, 1);
          },
        };
        return socket;
      },
    };
  }

  /** Handlers that could be taken away: `socket data`, `socket close`, `datagram message`. */
  get handlerNames(): string[] {
    const isOpen = this.#tcp.some((socket) => !socket.isOver);
    return [...(isOpen ? ['socket data', 'socket close'] : []), ...(this.#udp.length > 0 ? ['datagram message'] : [])];
  }

  /** Answers how many went. */
  forgetHandlers(isMeant: (name: string) => boolean): number {
    let count = 0;
    for (const name of ['data', 'close'])
      for (const { emitter } of isMeant(`socket ${name}`) ? this.#tcp : []) if (emitter.forget(name)) count++;
    for (const { emitter } of isMeant('datagram message') ? this.#udp : []) if (emitter.forget('message')) count++;
    return count;
  }

  /** A datagram arrives, to whatever port the program listens on. */
  receiveDatagram(text: string): void {
    const bytes = textOf(Buffer.from(text, 'utf8'));
    for (const { emitter } of this.#udp) {
      this.host.queue(() => {
        emitter.emit('message', bytes, { address: '127.0.0.1', port: 41000, size: bytes.length });
      });
    }
  }

  /** All connections die without a word. */
  loseConnections(): void {
    for (const socket of this.#tcp) socket.die();
  }

  /** The board stops. */
  dropAll(): void {
    for (const socket of this.#tcp.splice(0)) socket.drop();
    this.#udp.length = 0;
  }

  #connect(options: unknown, onConnected: unknown): object {
    const { host: address, port } = options as { host?: unknown; port?: unknown };
    if (typeof address !== 'string' || typeof port !== 'number') this.host.fail('connect: needs { host, port }');
    const trouble = this.host.networkTrouble();
    const answer =
      trouble === 'none' ? this.host.network.connect(address, port) : trouble === 'lost' ? 'refused' : 'unanswered';
    const seconds = answer === 'unanswered' ? UNANSWERED_SECONDS : CONNECT_SECONDS;
    if (this.host.dialingBlocks) this.host.block(seconds);
    if (answer === 'refused' || answer === 'unanswered') {
      if (this.host.dialingBlocks) this.host.fail('Unable to create socket');
      return this.#deadEnd(seconds);
    }
    const socket = new TcpSocket(this.host, answer);
    this.#tcp = this.#tcp.filter((open) => !open.isOver);
    this.#tcp.push(socket);
    const face = {
      on: (event: string, listener: Listener) => {
        socket.emitter.on(event, listener);
      },
      write: (text: string) => socket.write(text),
      end: (text?: string) => {
        socket.end(text);
      },
    };
    const connected = (): void => {
      if (typeof onConnected === 'function') (onConnected as (connected: object) => void)(face);
      socket.emitter.emit('connect', face);
      socket.emitter.emit('drain', face);
    };
    if (this.host.dialingBlocks) this.host.queue(connected);
    else this.host.after(seconds, () => this.host.queue(connected));
    return face;
  }

  /** A dial that comes to nothing, told after a while: by an error and a close. */
  #deadEnd(seconds: number): object {
    const emitter = new Emitter();
    this.host.after(seconds, () => {
      this.host.queue(() => {
        emitter.emit('error', { code: -1, message: 'unconnected' });
        emitter.emit('close', true);
      });
    });
    return {
      on: (event: string, listener: Listener) => {
        emitter.on(event, listener);
      },
      write: () => false,
      end: () => undefined,
    };
  }
}
