/*
 * Stands in for the dashboard in the browser tests: hands out the built page and canned states, and writes down what it was asked.
 * It decides nothing by itself: a test says what it answers. The page's way through the real dashboard has a test of its own.
 */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { readFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import type { Door, NightSeries, Snapshot } from '@bathkeeper/shared-core/messages';
import { cannedNight, cannedSnapshot } from './canned-night.js';

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

export interface Asked {
  readonly method: string;
  readonly path: string;
  /** As it was sent; of a file its bytes, with the query. */
  readonly body: unknown;
}

export interface FixtureServer {
  readonly address: string;
  /** What was asked besides reading, in order. */
  readonly asked: Asked[];
  /** What was read besides door, states and night, in order, each with its query. */
  readonly read: string[];
  /** What a GET of a path answers, for what is not in the snapshot; nothing there: 404. A function is asked each time, with the query; bytes are a photograph. */
  readonly shelves: Map<string, unknown>;
  door: Door;
  snapshot: Snapshot;
  night: NightSeries;
  /** Answers a request to /api; undefined: 404. Replaced by the test. */
  answer: (asked: Asked) => { status?: number; body: unknown } | undefined;
  /** Answers a POST that is not to /api, such as the acknowledgement from a notification; undefined: 404. */
  elsewhere: (asked: Asked & { readonly accept: string }) => { status?: number; body: unknown } | undefined;
  /** Shows a new state to every page that listens. */
  tell(snapshot: Snapshot): void;
  /** No more states, and the line is cut; new ones are refused until `tell`. */
  goSilent(): void;
  close(): Promise<void>;
}

export async function startFixtureServer(pageFolder: string): Promise<FixtureServer> {
  const listeners = new Set<ServerResponse>();
  let isSilent = false;
  const write = (response: ServerResponse): void => {
    response.write(`event: state\ndata: ${JSON.stringify(fixture.snapshot)}\n\n`);
  };
  const server: Server = createServer((request, response) => {
    void handled(request, response);
  });
  const fixture: FixtureServer = {
    address: '',
    asked: [],
    read: [],
    shelves: new Map<string, unknown>([
      ['/api/controllers/north-bench/alarms/silences', []],
      ['/api/controllers/-/alarms/silences', []],
      ['/api/alarms/journal', []],
      ['/api/series/marks', { marks: [], count: 0 }],
      ['/api/measured-efficiency', []],
      ['/api/controllers/north-bench/ledger-reminders', []],
    ]),
    door: { state: 'open', isSimulated: false },
    snapshot: cannedSnapshot(),
    night: cannedNight(),
    answer: () => undefined,
    elsewhere: () => undefined,
    tell: (snapshot) => {
      isSilent = false;
      fixture.snapshot = snapshot;
      for (const listener of listeners) write(listener);
    },
    goSilent: () => {
      isSilent = true;
      for (const listener of listeners) listener.destroy();
    },
    close: () =>
      new Promise((resolve) => {
        clearInterval(beat);
        // A test may have closed it already, to see what is left.
        for (const listener of listeners) listener.destroy();
        server.close(() => {
          resolve();
        });
        server.closeAllConnections();
      }),
  };
  // As the dashboard does: a state every second, its clock moving on with each.
  const beat = setInterval(() => {
    if (isSilent) return;
    for (const listener of listeners) write(listener);
  }, 1000);

  async function handled(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const url = new URL(request.url ?? '/', 'http://fixture');
    const json = (status: number, body: unknown): void => {
      response.writeHead(status, { 'Content-Type': 'application/json' }).end(JSON.stringify(body));
    };
    if (url.pathname.startsWith('/api/') && isSilent) {
      request.socket.destroy();
      return;
    }
    if (request.method === 'GET' && url.pathname === '/api/door') json(200, fixture.door);
    else if (request.method === 'GET' && url.pathname === '/api/stream') {
      response.writeHead(200, { 'Content-Type': 'text/event-stream' });
      listeners.add(response);
      response.on('close', () => listeners.delete(response));
      write(response);
    } else if (request.method === 'GET' && url.pathname.endsWith('/night')) json(200, fixture.night);
    else if (request.method === 'GET' && url.pathname.startsWith('/api/')) {
      fixture.read.push(url.pathname + url.search);
      const shelf = fixture.shelves.get(url.pathname);
      if (shelf instanceof Uint8Array) response.writeHead(200, { 'Content-Type': 'image/jpeg' }).end(shelf);
      else if (shelf === undefined) json(404, { error: 'The fixture has nothing there.', problems: [] });
      else
        json(
          200,
          typeof shelf === 'function' ? (shelf as (query: URLSearchParams) => unknown)(url.searchParams) : shelf,
        );
    } else if (url.pathname.startsWith('/api/')) {
      const chunks: Buffer[] = [];
      for await (const chunk of request) chunks.push(chunk as Buffer);
      const bytes = Buffer.concat(chunks);
      const isFile = request.headers['content-type'] === 'application/octet-stream';
      const body: unknown = isFile
        ? { query: Object.fromEntries(url.searchParams), bytes }
        : bytes.length === 0
          ? undefined
          : JSON.parse(bytes.toString());
      const asked: Asked = { method: request.method ?? '', path: url.pathname, body };
      fixture.asked.push(asked);
      const answer = fixture.answer(asked);
      if (answer) json(answer.status ?? 200, answer.body);
      else json(404, { error: 'The fixture has no answer for this.', problems: [] });
    } else if (request.method === 'POST') {
      const { accept = '' } = request.headers;
      const answer = fixture.elsewhere({ method: 'POST', path: url.pathname, body: undefined, accept });
      json(answer?.status ?? (answer ? 200 : 404), answer?.body ?? {});
    } else await file(url.pathname, response);
  }

  async function file(path: string, response: ServerResponse): Promise<void> {
    const asset = normalize(path).includes('.') ? path : '/index.html';
    try {
      const bytes = await readFile(join(pageFolder, normalize(asset)));
      response.writeHead(200, {
        'Content-Type': types[extname(asset)] ?? 'application/octet-stream',
        // The strictest policy that the page must live with.
        'Content-Security-Policy':
          "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'self'; frame-ancestors 'self'",
      });
      response.end(bytes);
    } catch {
      response.writeHead(404).end();
    }
  }

  await new Promise<void>((resolve) => {
    server.listen(0, '127.0.0.1', resolve);
  });
  return Object.assign(fixture, { address: `http://127.0.0.1:${String((server.address() as AddressInfo).port)}` });
}
