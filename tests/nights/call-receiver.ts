/*
 * The other end of the webhook in a rehearsal: a server on this machine that notes when each call came, on the bath's clock.
 */
import { createServer, type Server } from 'node:http';

export interface ReceivedCall {
  readonly id: string;
  readonly alarm: string;
  readonly controller: string;
  readonly atMs: number;
}

export interface CallReceiver {
  readonly address: string;
  readonly calls: readonly ReceivedCall[];
  /** How it answers; 200 when nothing is said. */
  status: number;
  close(): Promise<void>;
}

export async function openCallReceiver(nowMs: () => number): Promise<CallReceiver> {
  const calls: ReceivedCall[] = [];
  const receiver = { status: 200 };
  const server: Server = createServer((request, response) => {
    let text = '';
    request.setEncoding('utf8');
    request.on('data', (chunk: string) => (text += chunk));
    request.on('end', () => {
      const body = JSON.parse(text) as { id: string; alarm: string; controller: string };
      if (receiver.status < 300) calls.push({ ...body, atMs: nowMs() });
      response.writeHead(receiver.status).end();
    });
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  const address = server.address();
  if (typeof address !== 'object' || address === null) throw new Error('the call receiver has no port');
  return {
    address: `http://127.0.0.1:${String(address.port)}/call`,
    calls,
    get status() {
      return receiver.status;
    },
    set status(status) {
      receiver.status = status;
    },
    close: () =>
      new Promise((closed) => {
        server.closeAllConnections();
        server.close(() => {
          closed();
        });
      }),
  };
}
