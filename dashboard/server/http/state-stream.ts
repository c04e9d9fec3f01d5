/*
 * The stream of states for the page (server-sent events): once a second, and soon after every change. One timer for each listener;
 * a page that reads too slowly skips states, it never queues them. It ends when its session does.
 */
import type { Request, Response } from 'express';
import type { Dashboard } from '../dashboard.js';

const BEAT_MS = 1000;
const CHANGE_MS = 50;

export function stateStream(
  dashboard: Dashboard,
  notices: () => readonly string[],
  isOpenFor: (request: Request) => boolean,
) {
  return (request: Request, response: Response): void => {
    response.writeHead(200, {
      'Content-Type': 'text/event-stream',
      'Cache-Control': 'no-store',
      Connection: 'keep-alive',
    });
    let soon: NodeJS.Timeout | undefined;
    const send = (): void => {
      soon = undefined;
      // Signed out: whoever holds the stream open sees nothing more.
      if (!isOpenFor(request)) {
        response.end();
        return;
      }
      if (response.writableNeedDrain) return;
      response.write(`event: state\ndata: ${JSON.stringify(dashboard.snapshot(notices()))}\n\n`);
    };
    const forget = dashboard.onChange(() => {
      soon ??= setTimeout(send, CHANGE_MS);
    });
    const beat = setInterval(send, BEAT_MS);
    send();
    request.on('close', () => {
      clearInterval(beat);
      clearTimeout(soon);
      forget();
    });
  };
}
