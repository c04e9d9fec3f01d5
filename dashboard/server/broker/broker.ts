/*
 * The embedded MQTT broker: a password for each controller, and topic rights so that a controller may write only its own topics.
 * Started by the composition root. It forwards; it reads no payload and stores nothing (the store is the record of truth).
 */
import { Aedes, type Client, type PublishPacket } from 'aedes';
import { createServer, type Server, type Socket } from 'node:net';
import { duplexPair } from './duplex-pair.js';
import type { Duplex } from 'node:stream';
import { TOPIC_ROOT, topicOf } from '@bathkeeper/shared-core/messages';
import { passwordMatches, randomToken, tokensMatch } from '../passwords.js';

/** Larger than any message of a controller (about 1 KB), small enough that nobody fills the memory. */
export const MESSAGE_BYTES_MAX = 16 * 1024;
const BYTES_BEFORE_LOGIN_MAX = 4096;
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
  /** Passwords that are being compared. */
  readonly loginsUnderWay: number;
  loginsDone(): Promise<void>;
  close(): Promise<void>;
}

export async function openBroker(options: BrokerOptions): Promise<Broker> {
  const ingestPassword = randomToken();
  const userOf = new WeakMap<Client, string>();
  const verified = new Map<string, string>();
  const logins = new Set<Promise<void>>();
  const connected = new Map<string, Client>();
  const broker = await Aedes.createBroker({
    connectTimeout: 10_000,
    authenticate: (client, username, password, done) => {
      const user = username ?? '';
      const secret = password?.toString('utf8') ?? '';
      const admit = (isRight: boolean): void => {
        if (isRight) userOf.set(client, user);
        else options.refused(user || 'somebody', 'wrong user or password at the broker');
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
      if (verified.get(stored) !== undefined) {
        admit(tokensMatch(secret, verified.get(stored)!));
        return;
      }
      const login = passwordMatches(secret, stored)
        .then(
          (isRight) => {
            if (isRight) verified.set(stored, secret);
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
          const guard = (bytes: Buffer): void => {
            seen += bytes.length;
            if (userOf.has(client)) socket.off('data', guard);
            else if (seen > BYTES_BEFORE_LOGIN_MAX) socket.destroy();
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
