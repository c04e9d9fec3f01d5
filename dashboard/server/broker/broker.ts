/*
 * The embedded MQTT broker: a password for each controller, and topic rights so that a controller may write only its own topics.
 * Started by the composition root. It forwards; it reads no payload and stores nothing (the store is the record of truth).
 */
import { Aedes, type Client, type PublishPacket } from 'aedes';
import { createServer, type Server, type Socket } from 'node:net';
import { duplexPair } from './duplex-pair.js';
import type { Duplex } from 'node:stream';
import { TOPIC_ROOT, topicOf } from '@bathkeeper/shared-core/messages';
import { passwordMatches, randomToken, tokenHash, tokensMatch } from '../passwords.js';
import { largestPacketAhead } from './packet-lengths.js';

/** Larger than any message of a controller (about 1 KB), small enough that nobody fills the memory. */
export const MESSAGE_BYTES_MAX = 16 * 1024;
const BYTES_BEFORE_LOGIN_MAX = 4096;
/** Topic and fixed header around the largest message. */
const PACKET_BYTES_MAX = MESSAGE_BYTES_MAX + 512;
/** Passwords compared at a time; whoever comes beyond that comes again. */
const LOGINS_UNDER_WAY_MAX = 16;
const SHOWN_LENGTH_MAX = 64;
const INGEST_USER = '#ingest';

export interface BrokerOptions {
  /** The stored hash of a controller's password; undefined: not paired. */
  readonly controllerPasswordHash: (controllerId: string) => string | undefined;
  /** Something was refused: who, what. Never called with a secret. */
  readonly refused: (who: string, what: string) => void;
}

export interface Broker {
  readonly ingestCredential: { readonly username: string; readonly password: string };
  /** The client end of a connection within this process. */
  connectLocally(): Duplex;
  /** Listens for controllers; the next free port when that one is taken. */
  listen(host: string, port: number, triesAbove: number): Promise<number>;
  isConnected(controllerId: string): boolean;
  /** Undefined: it was never asked to. */
  readonly isListening: boolean | undefined;
  /** Ends its connection, if it has one: its password may be another by now. */
  disconnect(controllerId: string): void;
  /** Passwords that are being compared. */
  readonly loginsUnderWay: number;
  loginsDone(): Promise<void>;
  close(): Promise<void>;
}

export async function openBroker(options: BrokerOptions): Promise<Broker> {
  const ingestPassword = randomToken();
  const userOf = new WeakMap<Client, string>();
  const verified = new Map<string, { stored: string; secretHash: string }>();
  const logins = new Set<Promise<void>>();
  const connected = new Map<string, Client>();
  const broker = await Aedes.createBroker({
    connectTimeout: 10_000,
    authenticate: (client, username, password, done) => {
      const user = username ?? '';
      const secret = password?.toString('utf8') ?? '';
      const admit = (isRight: boolean): void => {
        if (isRight) userOf.set(client, user);
        else options.refused(user.slice(0, SHOWN_LENGTH_MAX) || 'somebody', 'wrong user or password at the broker');
        done(isRight ? null : Object.assign(new Error('not authorised'), { returnCode: 5 }), isRight);
      };
      // Two clients with one id push each other out: an id belongs to its user.
      if (client.id !== user) {
        admit(false);
        return;
      }
      if (user === INGEST_USER) {
        admit(tokensMatch(secret, ingestPassword));
        return;
      }
      const stored = options.controllerPasswordHash(user);
      if (stored === undefined) {
        admit(false);
        return;
      }
      // A controller reconnects often; scrypt once for each stored hash is enough.
      const known = verified.get(user);
      if (known?.stored === stored) {
        admit(tokenHash(secret) === known.secretHash);
        return;
      }
      if (logins.size >= LOGINS_UNDER_WAY_MAX) {
        admit(false);
        return;
      }
      const login = passwordMatches(secret, stored)
        .then(
          (isRight) => {
            if (isRight) verified.set(user, { stored, secretHash: tokenHash(secret) });
            admit(isRight);
          },
          () => {
            admit(false);
          },
        )
        .finally(() => logins.delete(login));
      logins.add(login);
    },
    authorizePublish: (client, packet, done) => {
      const user = client === null ? undefined : userOf.get(client);
      const problem = client === null ? undefined : publishProblem(user, packet);
      if (problem !== undefined) options.refused(user ?? 'somebody', problem);
      done(problem === undefined ? null : new Error(problem));
    },
    authorizeSubscribe: (client, subscription, done) => {
      const user = client === null ? undefined : userOf.get(client);
      const isAllowed =
        user === INGEST_USER ||
        (user !== undefined &&
          (['ack', 'command'] as const).some((kind) => topicOf(user, kind) === subscription.topic));
      if (!isAllowed) options.refused(user ?? 'somebody', `subscribe to ${subscription.topic.slice(0, 80)}`);
      done(null, isAllowed ? subscription : null);
    },
  });
  broker.on('client', (client) => {
    const user = userOf.get(client);
    if (user !== undefined) connected.set(user, client);
  });
  broker.on('clientDisconnect', (client) => {
    const user = userOf.get(client);
    if (user !== undefined && connected.get(user) === client) connected.delete(user);
  });

  const sockets = new Set<Socket>();
  let server: Server | undefined;
  return {
    ingestCredential: { username: INGEST_USER, password: ingestPassword },
    connectLocally: () => {
      const [near, far] = duplexPair();
      broker.handle(far);
      return near;
    },
    listen: (host, port, triesAbove) =>
      new Promise((resolve, reject) => {
        server = createServer((socket) => {
          sockets.add(socket);
          socket.on('close', () => sockets.delete(socket));
          socket.on('error', () => socket.destroy());
          socket.setNoDelay(true);
          const client = broker.handle(socket);
          let seen = 0;
          const packetAhead = largestPacketAhead();
          const guard = (bytes: Buffer): void => {
            seen += bytes.length;
            const isLoggedIn = userOf.has(client);
            // Refused by its announced length, before it fills any memory.
            if (packetAhead(bytes) > PACKET_BYTES_MAX) {
              const who = userOf.get(client) ?? 'somebody';
              options.refused(who, `a packet of more than ${String(PACKET_BYTES_MAX)} bytes was announced`);
              socket.destroy();
            } else if (!isLoggedIn && seen > BYTES_BEFORE_LOGIN_MAX) {
              options.refused('somebody', `more than ${String(BYTES_BEFORE_LOGIN_MAX)} bytes before the login`);
              socket.destroy();
            }
          };
          socket.on('data', guard);
        });
        let tried = 0;
        server.on('error', (fault: NodeJS.ErrnoException) => {
          if (fault.code === 'EADDRINUSE' && tried < triesAbove) server!.listen(port + ++tried, host);
          else reject(fault);
        });
        server.on('listening', () => {
          const address = server!.address();
          resolve(typeof address === 'object' && address !== null ? address.port : port);
        });
        server.listen(port, host);
      }),
    isConnected: (controllerId) => connected.has(controllerId),
    get isListening() {
      return server?.listening;
    },
    disconnect: (controllerId) => {
      connected.get(controllerId)?.close();
    },
    get loginsUnderWay() {
      return logins.size;
    },
    loginsDone: async () => {
      await Promise.all(logins);
    },
    close: async () => {
      for (const socket of sockets) socket.destroy();
      await new Promise<void>((closed) => {
        if (server?.listening)
          server.close(() => {
            closed();
          });
        else closed();
      });
      await new Promise<void>((closed) => {
        broker.close(() => {
          closed();
        });
      });
    },
  };
}

function publishProblem(user: string | undefined, packet: PublishPacket): string | undefined {
  const bytes = Buffer.byteLength(packet.payload);
  if (bytes > MESSAGE_BYTES_MAX)
    return `a message of ${String(bytes)} bytes, at most ${String(MESSAGE_BYTES_MAX)} are taken`;
  if (user === INGEST_USER && packet.topic.startsWith(TOPIC_ROOT)) return undefined;
  const own =
    user !== undefined && (['outbox', 'live', 'status'] as const).some((kind) => topicOf(user, kind) === packet.topic);
  return own ? undefined : `publish to ${packet.topic.slice(0, 80)}, which is not its own`;
}
