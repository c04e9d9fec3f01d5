/*
 * /acknowledge/<token>: the page behind the link of a call: what to do, and one button where its press does something, for whoever holds the link and without the passphrase. Only a
 * POST acknowledges (mail scanners and previews follow links); the notification's own button posts to the same address. Nothing of
 * the bath is told beyond what the call itself said.
 */
import { type NextFunction, type Request, type Response, Router } from 'express';
import { rateLimit } from 'express-rate-limit';
import { firstStep } from '@bathkeeper/shared-core/watch';
import type { Dashboard } from '../dashboard.js';
import { TRUST_LOOK } from '../https/trust-look.js';
import type { TokenAnswer } from '../notify/acknowledge.js';

/** What the page shows: also of a link that could not be looked up. */
interface Shown extends Omit<TokenAnswer, 'state'> {
  readonly state: TokenAnswer['state'] | 'failed' | 'too-many';
}
const STATUS: Readonly<Record<Shown['state'], number>> = {
  open: 200,
  over: 200,
  done: 200,
  used: 409,
  expired: 410,
  unknown: 404,
  failed: 503,
  'too-many': 429,
};
const TOO_MANY: Shown = { state: 'too-many', title: 'Too many tries', words: 'Wait a minute, then open the link of the call again.' }; // prettier-ignore
const FAILED: Shown = {
  state: 'failed',
  title: 'It could not be noted',
  words:
    'The dashboard can neither read nor write what was called for, so calls go on. Go and look at the bath first. Then look at the dashboard: its disk may be full.',
};

const LOOK = `${TRUST_LOOK}
button { font: inherit; font-weight: 600; min-height: 56px; width: 100%; margin: 1.2rem 0; color: var(--paper); background: var(--ink);
  border: 0; border-radius: 4px; cursor: pointer; }
button:focus-visible { outline: 3px solid var(--copper); outline-offset: 2px; }
p { white-space: pre-line; }
`;

export function acknowledgePage(dashboard: Dashboard): Router {
  const { acknowledging } = dashboard.calling;
  const { clock } = dashboard;
  const router = Router();
  const answer = (request: Request, response: Response, told: Shown): void => {
    response.status(STATUS[told.state]);
    response.setHeader('Cache-Control', 'no-store');
    response.setHeader('X-Robots-Tag', 'noindex');
    if (request.accepts(['html', 'json']) === 'json')
      response.json({ state: told.state, title: told.title, words: told.words, more: told.more?.words });
    else response.type('html').send(html(told));
  };
  const answerUnknown = (request: Request, response: Response): void => {
    answer(request, response, acknowledging.look('', clock.nowMs()));
  };
  router.get('/acknowledge/look.css', (_request, response) => {
    response.type('css').send(LOOK);
  });
  // A token cannot be guessed; this keeps somebody who tries from keeping the dashboard busy.
  router.use('/acknowledge', rateLimit({ windowMs: 60_000, limit: 60, standardHeaders: 'draft-8', legacyHeaders: false,
    handler: (request, response) => { answer(request, response, TOO_MANY); },
  })); // prettier-ignore
  router.get('/acknowledge/:token', (request, response) => {
    answer(request, response, acknowledging.look(request.params.token, clock.nowMs()));
  });
  router.post('/acknowledge/:token', (request, response) => {
    answer(request, response, acknowledging.acknowledge(request.params.token, clock.nowMs()));
  });
  // A link that was cut off, or torn by a line break.
  router.use('/acknowledge', answerUnknown);
  router.use('/acknowledge', (fault: { status?: number }, request: Request, response: Response, next: NextFunction) => {
    if (response.headersSent) {
      next(fault);
      return;
    }
    if (fault.status === 400) {
      answerUnknown(request, response);
      return;
    }
    dashboard.log.error({ err: fault }, 'a call could not be acknowledged');
    answer(request, response, FAILED);
  });
  return router;
}

/** Of an alarm that stands, what to do comes first, then what it is, then the button; the rest may be read after. */
function html(told: Shown): string {
  const isCalling = told.state === 'open' && told.kind === 'alarm';
  const step = isCalling ? firstStep(told.words) : { first: told.title, rest: told.words };
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><meta name="robots" content="noindex">
<title>${escaped(told.title)}</title>
<link rel="stylesheet" href="/acknowledge/look.css">
</head>
<body><main>
<h1>${escaped(step.first)}</h1>
${isCalling ? `<p><strong>${escaped(told.title)}</strong></p>` : ''}
${step.rest === '' ? '' : `<p>${escaped(step.rest)}</p>`}
${buttonHtml(told.state, isCalling)}
${moreHtml(told.more)}<p><a class="go" href="/">Open the page</a></p>
</main></body>
</html>
`;
}

function buttonHtml(state: Shown['state'], isCalling: boolean): string {
  if (state !== 'open' && state !== 'failed') return '';
  const words = state === 'failed' ? 'Try again' : isCalling ? 'I have seen it' : 'It reached me';
  return `<form method="post"><button type="submit">${words}</button></form>`;
}

function moreHtml(more: TokenAnswer['more']): string {
  if (more === undefined) return '';
  const lead = more.token === undefined ? '' : `<p><a class="go" href="/acknowledge/${more.token}">See what is open now</a></p>\n`; // prettier-ignore
  return `<p class="more">${escaped(more.words)}</p>\n${lead}`;
}

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => `&#${String(sign.charCodeAt(0))};`);
}
