/*
 * Receivers of calls on this computer, each a real server: a webhook, a push service with a browser's keys, a mail server. Called by the tests of
 * calling; all are closed after each test.
 */
import { createECDH, createPublicKey, randomBytes, verify } from 'node:crypto';
import {
  createServer,
  type IncomingHttpHeaders,
  type IncomingMessage,
  type Server,
  type ServerResponse,
} from 'node:http';
import type { AddressInfo } from 'node:net';
import type { CallPayload, PushSubscriptionRequest } from '@bathkeeper/shared-core/messages';
import ece from 'http_ece';
import { SMTPServer, type SMTPServerOptions } from 'smtp-server';
import { afterEach } from 'vitest';

const closings: (() => void)[] = [];
afterEach(() => {
  for (const close of closings.splice(0)) close();
});

async function bytesOf(request: IncomingMessage): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return Buffer.concat(parts);
}

export interface Asked {
  readonly method: string;
  readonly path: string;
  readonly headers: IncomingHttpHeaders;
  readonly body: Buffer;
}

async function serverOf(answer: (asked: Asked, response: ServerResponse) => void): Promise<string> {
  const server: Server = createServer((request, response) => {
    void bytesOf(request).then(
      (body) => {
        answer({ method: request.method ?? '', path: request.url ?? '', headers: request.headers, body }, response);
      },
      () => undefined,
    );
  });
  closings.push(() => {
    server.closeAllConnections();
    server.close();
  });
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  return `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
}

export interface WebhookReceiver {
  readonly address: string;
  readonly asked: Asked[];
  readonly bodies: CallPayload[];
  /** Answered from now on; 0 never answers. */
  status: number;
}

export async function webhookReceiver(status = 200): Promise<WebhookReceiver> {
  const asked: Asked[] = [];
  const receiver = {
    address: '',
    asked,
    status,
    get bodies() {
      return asked.map((one) => JSON.parse(one.body.toString()) as CallPayload);
    },
  };
  receiver.address = `${await serverOf((one, response) => {
    asked.push(one);
    if (receiver.status !== 0) response.writeHead(receiver.status, { location: 'http://127.0.0.1:1/elsewhere' }).end();
  })}/hook?token=of-the-webhook`;
  return receiver;
}

export interface PushService {
  readonly subscription: PushSubscriptionRequest;
  readonly origin: string;
  readonly asked: Asked[];
  status: number;
  /** Each message as the browser would read it, decrypted by a library that the server does not use for it. */
  payloads(): CallPayload[];
}

/** A push service with one subscribed browser. */
export async function pushService(): Promise<PushService> {
  const browser = createECDH('prime256v1');
  browser.generateKeys();
  const authSecret = randomBytes(16);
  const asked: Asked[] = [];
  const service = { status: 201 };
  const origin = await serverOf((one, response) => {
    asked.push(one);
    if (service.status !== 0) response.writeHead(service.status).end();
  });
  return Object.assign(service, {
    origin,
    asked,
    subscription: {
      endpoint: `${origin}/push/of-one-browser`,
      keys: { p256dh: browser.getPublicKey('base64url'), auth: authSecret.toString('base64url') },
    },
    payloads: () =>
      asked.map(
        ({ body }) =>
          JSON.parse(
            ece
              .decrypt(body, {
                version: 'aes128gcm',
                privateKey: browser,
                authSecret: authSecret.toString('base64url'),
              })
              .toString(),
          ) as CallPayload,
      ),
  });
}

/** The claims of a VAPID token (RFC 8292) when its signature fits the key in the same header; throws when not. */
export function vapidClaims(authorization: string): { claims: Record<string, unknown>; publicKey: string } {
  const [, token = '', publicKey = ''] = /^vapid t=([^,]+), k=(.+)$/.exec(authorization) ?? [];
  const [head = '', body = '', signature = ''] = token.split('.');
  const point = Buffer.from(publicKey, 'base64url');
  const key = createPublicKey({
    format: 'jwk',
    key: {
      kty: 'EC',
      crv: 'P-256',
      x: point.subarray(1, 33).toString('base64url'),
      y: point.subarray(33).toString('base64url'),
    },
  });
  const isSigned = verify(
    'sha256',
    Buffer.from(`${head}.${body}`),
    { key, dsaEncoding: 'ieee-p1363' },
    Buffer.from(signature, 'base64url'),
  );
  if (!isSigned) throw new Error('The signature does not fit.');
  const { alg } = JSON.parse(Buffer.from(head, 'base64url').toString()) as { alg: string };
  if (alg !== 'ES256') throw new Error(`alg is ${alg}`);
  return { claims: JSON.parse(Buffer.from(body, 'base64url').toString()) as Record<string, unknown>, publicKey };
}

export const MAIL_USER = 'bath';
export const MAIL_PASSWORD = 'of-the-mail-server';

export interface MailReceiver {
  readonly host: string;
  readonly port: number;
  readonly mails: string[];
  readonly recipients: string[];
}

/** A mail server that knows one user. */
export async function mailReceiver(options: SMTPServerOptions = {}): Promise<MailReceiver> {
  const mails: string[] = [];
  const recipients: string[] = [];
  const server = new SMTPServer({
    disabledCommands: ['STARTTLS'],
    allowInsecureAuth: true,
    onAuth: (auth, _session, done) => {
      if (auth.username === MAIL_USER && auth.password === MAIL_PASSWORD) done(null, { user: MAIL_USER });
      else done(new Error(`Wrong password ${auth.password ?? ''}`));
    },
    onRcptTo: ({ address }, _session, done) => {
      recipients.push(address);
      done();
    },
    onData: (stream, _session, done) => {
      let text = '';
      stream.on('data', (bytes: Buffer) => (text += bytes.toString()));
      stream.on('end', () => {
        mails.push(text);
        done();
      });
    },
    ...options,
  });
  // A client that hangs up before the greeting is no fault of the test.
  server.on('error', () => undefined);
  closings.push(() => {
    server.close();
  });
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  return { host: '127.0.0.1', port: (server.server.address() as AddressInfo).port, mails, recipients };
}
