/*
 * What a delivery carries: the words of its call as they are now, where the page tells more, and the link that acknowledges. Put together by
 * calling.ts at each try, so that it never tells of what somebody has seen to meanwhile. It sends nothing.
 */
import type { CallPayload } from '@bathkeeper/shared-core/messages';
import { acknowledgeToken } from './acknowledge-token.js';
import type { CallRow, DeliveryRow } from './call-store.js';
import type { CalledAlarm } from './called-alarms.js';
import { alarmCallWords } from './call-words.js';
import type { Contacts } from './contacts.js';
import type { Rounds } from './rounds.js';

/** Where the page has no address there is no link to press. */
const NO_LINK = 'This call has no link, since no address of the page is set: acknowledge on the page, or at the bath.';

export interface CallPayloads {
  /** `alarms`: absent, those that it tells of when it is sent now. */
  words(
    call: CallRow,
    delivery: DeliveryRow,
    nowMs: number,
    alarms?: readonly CalledAlarm[],
  ): { title: string; message: string };
  payload(call: CallRow, delivery: DeliveryRow, nowMs: number): CallPayload;
}

export function callPayloads(options: {
  rounds: Pick<Rounds, 'alarmsToTell'>;
  contacts: Pick<Contacts, 'view'>;
  tokenKey: Buffer;
  /** The page's address, where it is known; it ends with a slash. */
  pageAddress: () => string | undefined;
  bathName: (controllerId: string) => string;
}): CallPayloads {
  const { rounds, contacts } = options;
  const words: CallPayloads['words'] = (call, delivery, nowMs, alarms = rounds.alarmsToTell(delivery, nowMs)) => {
    if (call.kind !== 'alarm') return { title: call.title ?? 'Bathkeeper', message: call.message ?? '' };
    const told = alarms.map((alarm) => ({
      bathName: options.bathName(alarm.controller_id),
      title: alarm.title,
      detail: alarm.detail,
      checkFirst: alarm.check_first,
    }));
    const since = call.started_at_ms ?? delivery.queued_at_ms;
    const minutes = Math.round((delivery.queued_at_ms - since) / 60_000);
    // A second ringing within seconds only tells what else came.
    return alarmCallWords(told, delivery.round <= 1 || minutes === 0 ? undefined : minutes);
  };
  const links = (address: string, delivery: DeliveryRow, alarmId: number | undefined) => ({
    // Straight to the story of the alarm; the page knows this part of an address (dashboard/page/state/route.ts).
    url: alarmId === undefined ? address : new URL(`#alarm/${String(alarmId)}`, address).href,
    acknowledgeUrl: new URL(`acknowledge/${acknowledgeToken(options.tokenKey, delivery.delivery_number)}`, address)
      .href,
  });
  return {
    words,
    payload: (call, delivery, nowMs) => {
      const first = rounds.alarmsToTell(delivery, nowMs)[0];
      const address = options.pageAddress();
      const { title, message } = words(call, delivery, nowMs);
      return {
        id: `${call.call_id}-${String(delivery.delivery_number)}`,
        call: call.call_id,
        kind: call.kind,
        title,
        message: address === undefined && call.kind === 'alarm' ? `${message} ${NO_LINK}` : message,
        priority: call.priority,
        alarm: first?.name ?? call.kind,
        controller: call.controller_id,
        raisedAt: new Date(first?.raised_at_ms ?? call.queued_at_ms).toISOString(),
        contact: contacts.view(delivery.contact_id)?.name ?? '',
        ...(address === undefined ? {} : links(address, delivery, first?.alarm_id)),
      };
    },
  };
}
