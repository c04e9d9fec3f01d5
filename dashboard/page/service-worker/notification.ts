/*
 * From the text of a push to a notification, and what stands there after an acknowledgement. Called by the service worker; pure.
 * A text that cannot be read still rings: whoever was called must know that something called.
 */
import type { CallPayload } from '@bathkeeper/shared-core/messages';

/** What the worker needs of a CallPayload. */
export type Call = Pick<CallPayload, 'call' | 'kind' | 'title' | 'message' | 'priority'> &
  Partial<Pick<CallPayload, 'url' | 'acknowledgeUrl'>>;

const UNREADABLE: Call = {
  call: 'unreadable',
  kind: 'alarm',
  title: 'Bathkeeper calls',
  message: 'The call could not be read. Open the page and look at the bath.',
  priority: 'high',
};

const textOr = (value: unknown, other: string): string => (typeof value === 'string' && value !== '' ? value : other);

/** Example: `callFrom('not JSON').title` is "Bathkeeper calls". */
export function callFrom(text: string): Call {
  let told: Partial<Record<keyof CallPayload, unknown>>;
  try {
    told = JSON.parse(text) as typeof told;
  } catch {
    return UNREADABLE;
  }
  if (typeof told !== 'object' || told === null) return UNREADABLE;
  const kind = told.kind;
  return {
    call: textOr(told.call, textOr(told.id, UNREADABLE.call)),
    kind: kind === 'good-news' || kind === 'morning-summary' || kind === 'test' ? kind : 'alarm',
    title: textOr(told.title, UNREADABLE.title),
    message: textOr(told.message, ''),
    priority: told.priority === 'low' || told.priority === 'medium' ? told.priority : 'high',
    ...(typeof told.url === 'string' ? { url: told.url } : {}),
    ...(typeof told.acknowledgeUrl === 'string' ? { acknowledgeUrl: told.acknowledgeUrl } : {}),
  };
}

/** Options that browsers know and TypeScript's list of them does not (W3C Notifications API). */
export interface CallOptions extends NotificationOptions {
  readonly actions?: readonly { readonly action: string; readonly title: string }[];
  readonly renotify?: boolean;
  readonly vibrate?: readonly number[];
}

export interface Shown {
  readonly title: string;
  readonly options: CallOptions;
}

const ICON = '/icon-192.png';
const BADGE = '/badge-96.png';

/** The same call rings again, in the place of its last ringing; what must wake stays until it is touched. */
export function notificationOf(call: Call): Shown {
  const mustWake = call.kind === 'test' || (call.kind === 'alarm' && call.priority !== 'low');
  return {
    title: call.title,
    options: {
      body: call.message,
      tag: call.call,
      renotify: mustWake,
      silent: false,
      requireInteraction: mustWake,
      icon: ICON,
      badge: BADGE,
      ...(mustWake ? { vibrate: [400, 200, 400, 200, 800] } : {}),
      data: { url: call.url, acknowledgeUrl: call.acknowledgeUrl },
      actions:
        call.acknowledgeUrl === undefined
          ? []
          : [{ action: 'acknowledge', title: call.kind === 'test' ? 'Confirm' : 'Acknowledge' }],
    },
  };
}

/** The sentence in an answer to a press that tells what else is open by now; undefined: nothing is, or the answer is not the dashboard's. */
export function moreIn(answer: unknown): string | undefined {
  const more = typeof answer === 'object' && answer !== null ? (answer as { more?: unknown }).more : undefined;
  return typeof more === 'string' && more !== '' ? more : undefined;
}

/** What stands in the place of the call once it was acknowledged, or was not. `more`: what else is open, in a sentence. */
export function acknowledgedWords(
  title: string,
  outcome: { readonly isDone: boolean; readonly status: number; readonly more?: string | undefined },
  kept: { readonly tag: string; readonly data: unknown },
): Shown {
  const { more } = outcome;
  const alsoOpen = more === undefined ? '' : `${more} `;
  const plain = title.replace(/^(Acknowledged|Not acknowledged): /, '');
  if (outcome.isDone) {
    const body = `${alsoOpen}It was told to the dashboard. Acknowledged says seen: the cause may still stand.`;
    // Whoever believes to have seen all must not lose sight of what is left.
    return {
      title: `Acknowledged: ${plain}`,
      options: { body, ...kept, silent: true, requireInteraction: more !== undefined, icon: ICON, badge: BADGE },
    };
  }
  const why =
    outcome.status === 0
      ? 'The dashboard could not be reached.'
      : outcome.status === 404 || outcome.status === 409 || outcome.status === 410
        ? 'This call was used already, or is too old.'
        : `The dashboard answered ${String(outcome.status)}.`;
  // The token has not served: the same press may get through, once the network or the dashboard is back.
  const mayHelp = outcome.status === 0 || outcome.status >= 500;
  return {
    title: `Not acknowledged: ${plain}`,
    options: {
      body: `${alsoOpen}${why} Open the page and acknowledge there.`,
      ...kept,
      actions: mayHelp ? [{ action: 'acknowledge', title: 'Try again' }] : [],
      silent: true,
      requireInteraction: true,
      icon: ICON,
      badge: BADGE,
    },
  };
}

/** An address within this page's own origin, whatever origin it was written with: nothing is posted or opened elsewhere. */
export function addressWithin(origin: string, address: string): string {
  try {
    const { pathname, search, hash } = new URL(address, origin);
    // Put in piece by piece: a path that begins with two slashes, read anew, would name another host.
    return Object.assign(new URL('/', origin), { pathname, search, hash }).href;
  } catch {
    return new URL('/', origin).href;
  }
}
