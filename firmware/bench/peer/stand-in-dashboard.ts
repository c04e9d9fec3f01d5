/*
 * A small peer in the same process, for nights without the dashboard and for the start of the demonstration: speaks
 * MQTT 3.1.1 through the `mqtt-packet` library, sends recipe and commands with their proof, acknowledges the outbox end to
 * end and keeps the books. It checks what a broker would check; it stores nothing and judges no alarm.
 */
import { Command } from '@bathkeeper/shared-core/control';
import { LINK_VERSION, LiveKey, PASSWORD_PROVED, SIGN_OF_LIFE_PROVED, topicOf } from '@bathkeeper/shared-core/messages';
import mqtt from 'mqtt-packet';
import type { BoardSettings } from '../board-settings.js';
import type { VirtualBath } from '../virtual-bath.js';
import type { BathConnection, BathNetwork } from './bath-network.js';
import { OutboxLedger, type Row } from './outbox-ledger.js';
import { outboxRows } from './outbox-rows.js';
import { proofUnder } from './proof-of-secret.js';

const SIGN_OF_LIFE_SECONDS = 5;
/** A command is good for this long on the controller's clock. */
const COMMAND_SECONDS = 30;

/** The newest live message, decoded as far as a night's script needs it. */
export interface LiveGlimpse {
  readonly incarnation: number;
  readonly boot: number;
  readonly uptimeSeconds: number;
  readonly phase: number;
  readonly conditions: number;
  readonly conditionsHigh: number;
  readonly permissivesMissing: number;
  readonly chargeMilliCoulombs: number;
  readonly recordsWaiting: number;
}

export class StandInDashboard implements BathNetwork {
  /** What dialling finds. */
  reachable: 'yes' | 'refused' | 'unanswered' = 'yes';
  /** False: takes records and never says that they are safe, so that all stay in the controller. */
  acknowledges = true;
  live: LiveGlimpse | undefined;
  isOnline = false;
  connectionCount = 0;
  dialCount = 0;
  liveCount = 0;
  /** Anything that a strict peer would not accept. A healthy night has none. */
  readonly complaints: string[] = [];
  /** By incarnation: a controller whose memory was lost starts a new one. */
  readonly ledgers = new Map<number, OutboxLedger>();

  #session: Session | undefined;
  #nextMessageId = 1;
  #nextCommandId = 1;
  #nightSeconds = 0;
  #lastCounter = 0;
  readonly #topics: Readonly<Record<'status' | 'live' | 'outbox' | 'ack', string>>;

  constructor(
    readonly settings: BoardSettings,
    /** The dashboard's time at the start of the night, whole seconds since 1970. */
    readonly startEpochSeconds = 1_767_225_600,
  ) {
    this.proof = proofUnder(Buffer.from(settings.secret, 'hex'));
    const { controllerId } = settings;
    this.#topics = {
      status: topicOf(controllerId, 'status'),
      live: topicOf(controllerId, 'live'),
      outbox: topicOf(controllerId, 'outbox'),
      ack: topicOf(controllerId, 'ack'),
    };
  }

  connect(address: string, port: number): BathConnection | 'refused' | 'unanswered' {
    this.dialCount++;
    const { link } = this.settings;
    if (address !== link.address || port !== link.port) {
      this.complaints.push(`dialled ${address}:${String(port)}, expected ${link.address}:${String(link.port)}`);
      return 'refused';
    }
    if (this.reachable !== 'yes') return this.reachable;
    this.#session?.drop();
    this.connectionCount++;
    this.#session = new Session(this);
    return this.#session.end;
  }

  /** The broker goes away: the connection is closed, as at a restart. */
  dropConnection(): void {
    this.#session?.drop();
    this.#session = undefined;
  }

  /** Sends a recipe row (see RecipeColumn). False: nobody listens, or no live message was heard yet. */
  sendRecipe(row: Row): boolean {
    return this.#send(Command.recipe, row);
  }
  sendCommand(command: Command): boolean {
    return this.#send(command);
  }
  /** A new ceiling of the set-point. */
  sendLower(toAmps: number): boolean {
    return this.#send(Command.lower, undefined, Math.round(toAmps * 100));
  }
  /** Anything at all on the command topic, as somebody without the secret, or with a message of yesterday, would send it. */
  sendCommandText(payload: string): boolean {
    if (this.#session?.isSubscribed !== true) return false;
    this.#session.publishText(topicOf(this.settings.controllerId, 'command'), payload);
    return true;
  }
  /** HMAC-SHA-256 under the controller's secret. */
  readonly proof: (text: string) => string;

  /** The books of the newest incarnation. */
  get ledger(): OutboxLedger | undefined {
    return [...this.ledgers.values()].at(-1);
  }

  signOfLife(nightSeconds: number): string {
    this.#nightSeconds = nightSeconds;
    const t = this.startEpochSeconds + Math.floor(nightSeconds);
    const text = JSON.stringify({ v: LINK_VERSION, d: this.settings.controllerId, t });
    return this.proof(SIGN_OF_LIFE_PROVED + text) + text;
  }

  /** Plays so many seconds of a bath, with a sign of life every five. */
  play(bath: VirtualBath, seconds: number): void {
    for (let left = seconds; left > 0; left -= SIGN_OF_LIFE_SECONDS) {
      if (this.reachable !== 'refused') bath.deliverSignOfLife(this.signOfLife(bath.nightSeconds));
      bath.advance(Math.min(left, SIGN_OF_LIFE_SECONDS));
    }
  }

  /** Plays until something holds. False: it did not within so many seconds. */
  playUntil(bath: VirtualBath, holds: () => boolean, mostSeconds: number): boolean {
    for (let passed = 0; passed <= mostSeconds; passed++) {
      if (holds()) return true;
      if (passed % SIGN_OF_LIFE_SECONDS === 0 && this.reachable !== 'refused')
        bath.deliverSignOfLife(this.signOfLife(bath.nightSeconds));
      bath.advance(1);
    }
    return holds();
  }

  /** A message that the controller published. Called by its session. */
  take(topic: string, payload: string): void {
    const topics = this.#topics;
    let message: Record<string, unknown>;
    try {
      message = JSON.parse(payload) as Record<string, unknown>;
    } catch {
      this.complaints.push(`not JSON on ${topic}: ${payload.slice(0, 80)}`);
      return;
    }
    if (message.v !== LINK_VERSION) this.complaints.push(`version ${String(message.v)} on ${topic}`);
    if (topic === topics.status) this.isOnline = message.o === 1;
    else if (topic === topics.live) this.#takeLive(message);
    else if (topic === topics.outbox) this.#takeOutbox(message);
    else this.complaints.push(`published to ${topic}, which is not its own`);
  }

  complain(what: string): void {
    this.complaints.push(what);
  }

  #takeLive(message: Record<string, unknown>): void {
    this.liveCount++;
    this.live = {
      incarnation: Number(message.i),
      boot: Number(message.b),
      uptimeSeconds: Number(message.u) / 10,
      phase: Number(message[LiveKey.phase]),
      conditions: Number(message[LiveKey.conditions]),
      conditionsHigh: Number(message[LiveKey.conditionsHigh] ?? 0),
      permissivesMissing: Number(message[LiveKey.permissivesMissing]),
      chargeMilliCoulombs: Number(message[LiveKey.charge]),
      recordsWaiting: Number(message[LiveKey.waiting]),
    };
  }

  #takeOutbox(message: Record<string, unknown>): void {
    const incarnation = Number(message.i);
    let ledger = this.ledgers.get(incarnation);
    if (ledger === undefined) this.ledgers.set(incarnation, (ledger = new OutboxLedger()));
    const { records, events, foreign } = outboxRows(message);
    for (const row of foreign) this.complaints.push(`not a row as it is kept: ${JSON.stringify(row)}`);
    for (const row of records) ledger.addRecord(row);
    for (const row of events) ledger.addEvent(row);
    if (!this.acknowledges) return;
    this.#session?.publish(this.#topics.ack, {
      v: LINK_VERSION,
      i: incarnation,
      r: ledger.recordsThrough,
      e: ledger.eventsThrough,
    });
  }

  #send(command: Command, recipeRow?: Row, centiamperes?: number): boolean {
    const live = this.live;
    if (live === undefined || this.#session?.isSubscribed !== true) return false;
    const nowMs = Math.floor((this.startEpochSeconds + this.#nightSeconds) * 1000);
    this.#lastCounter = Math.max(this.#lastCounter + 1, nowMs);
    const text = JSON.stringify({
      v: LINK_VERSION,
      d: this.#nextCommandId++,
      n: this.#lastCounter,
      k: command,
      i: live.incarnation,
      b: live.boot,
      x: Math.round((live.uptimeSeconds + COMMAND_SECONDS) * 10),
      ...(recipeRow === undefined ? {} : { g: recipeRow }),
      ...(centiamperes === undefined ? {} : { c: centiamperes }),
    });
    const topic = topicOf(this.settings.controllerId, 'command');
    return this.sendCommandText(this.proof(`${topic}\n${text}`) + text);
  }

  takeMessageId(): number {
    const id = this.#nextMessageId;
    this.#nextMessageId = (id % 65_535) + 1;
    return id;
  }
}

/** One connection, from CONNECT to its end. */
class Session {
  isSubscribed = false;
  readonly end: BathConnection;
  #receive: (bytes: Uint8Array) => void = () => undefined;
  #closed: () => void = () => undefined;
  #isConnected = false;
  #isOver = false;
  #will: { topic: string; payload: string } | undefined;
  readonly #unacknowledged = new Map<number, mqtt.Packet>();
  readonly #parser = mqtt.parser({ protocolVersion: 4 });

  constructor(readonly peer: StandInDashboard) {
    this.#parser.on('packet', (packet: mqtt.Packet) => {
      this.#take(packet);
    });
    this.#parser.on('error', (fault: Error) => {
      this.peer.complain(`malformed MQTT: ${fault.message}`);
      this.drop();
    });
    this.end = {
      write: (bytes) => {
        if (!this.#isOver) this.#parser.parse(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length));
      },
      close: () => {
        this.#finish();
      },
      onBytes: (receive) => {
        this.#receive = receive;
      },
      onClose: (closed) => {
        this.#closed = closed;
      },
    };
  }

  publish(topic: string, message: object): void {
    this.publishText(topic, JSON.stringify(message));
  }

  publishText(topic: string, payload: string): void {
    const messageId = this.peer.takeMessageId();
    const packet: mqtt.Packet = {
      cmd: 'publish',
      ...{ topic, payload, qos: 1 as const, messageId, dup: false, retain: false },
    };
    this.#unacknowledged.set(messageId, packet);
    this.#send(packet);
  }

  /** From this side. */
  drop(): void {
    if (this.#isOver) return;
    this.#finish();
    this.#closed();
  }

  #finish(): void {
    if (this.#isOver) return;
    this.#isOver = true;
    if (this.#will !== undefined) this.peer.take(this.#will.topic, this.#will.payload);
  }

  #send(packet: mqtt.Packet): void {
    if (!this.#isOver) this.#receive(mqtt.generate(packet));
  }

  #take(packet: mqtt.Packet): void {
    if (!this.#isConnected && packet.cmd !== 'connect') {
      this.peer.complain(`${packet.cmd} before CONNECT`);
      this.drop();
      return;
    }
    switch (packet.cmd) {
      case 'connect':
        this.#takeConnect(packet);
        break;
      case 'subscribe':
        this.#send({
          cmd: 'suback',
          messageId: packet.messageId!,
          granted: packet.subscriptions.map(({ qos }) => qos),
        });
        this.isSubscribed = true;
        for (const { topic } of packet.subscriptions) {
          const { controllerId } = this.peer.settings;
          if (topic !== topicOf(controllerId, 'ack') && topic !== topicOf(controllerId, 'command'))
            this.peer.complain(`subscribed to ${topic}`);
        }
        break;
      case 'publish':
        // Acknowledged by the broker first, as a real one does; the end-to-end acknowledgement follows.
        if (packet.qos === 1) this.#send({ cmd: 'puback', messageId: packet.messageId! });
        this.peer.take(packet.topic, packet.payload.toString());
        break;
      case 'puback':
        if (!this.#unacknowledged.delete(packet.messageId!)) this.peer.complain('PUBACK for nothing');
        break;
      case 'pingreq':
        this.#send({ cmd: 'pingresp' });
        break;
      case 'disconnect':
        this.#will = undefined;
        break;
      default:
        this.peer.complain(`unexpected ${packet.cmd}`);
    }
  }

  #takeConnect(packet: mqtt.IConnectPacket): void {
    const { settings } = this.peer;
    const password = this.peer.proof(PASSWORD_PROVED);
    const isKnown = packet.username === settings.controllerId && packet.password?.toString() === password;
    if (!isKnown) this.peer.complain(`wrong user or password: ${String(packet.username)}`);
    if (packet.protocolVersion !== 4) this.peer.complain(`protocol ${String(packet.protocolVersion)}, expected 4`);
    if (packet.will === undefined) this.peer.complain('no last will');
    else this.#will = { topic: packet.will.topic, payload: packet.will.payload.toString() };
    this.#isConnected = isKnown;
    this.#send({ cmd: 'connack', returnCode: isKnown ? 0 : 5, sessionPresent: false });
    if (!isKnown) this.drop();
  }
}
