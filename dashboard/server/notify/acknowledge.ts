/*
 * Acknowledging from the call itself, under the token of its link, without the page's passphrase. Asked by the page behind the link and by
 * the notification's button. The token serves once and expires; looking (a mail scanner follows links) changes nothing.
 */
import type { AlarmView, CallPayload } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import { acknowledgeToken, deliveryOfToken, TOKEN_HOURS } from './acknowledge-token.js';
import type { CallPayloads } from './call-payload.js';
import type { CallRow, CallStore, DeliveryRow } from './call-store.js';
import type { AlarmFate } from './called-alarms.js';
import type { Contacts } from './contacts.js';
import type { Rounds } from './rounds.js';

export interface TokenAnswer {
  /**
   * `open`: a press does something; `over`: nothing is left to acknowledge, a press only says that the call came; `done`: this press did it;
   * the others did nothing.
   */
  readonly state: 'open' | 'over' | 'done' | 'used' | 'expired' | 'unknown';
  readonly title: string;
  /** Whole sentences. */
  readonly words: string;
  readonly kind?: CallPayload['kind'];
  /** What else is open by now, of the same call or of one that took over from it. `token`: of the later link, where this device has it and may use it. */
  readonly more?: { readonly words: string; readonly token?: string };
}

export interface Acknowledging {
  look(token: string, nowMs: number): TokenAnswer;
  acknowledge(token: string, nowMs: number): TokenAnswer;
}

export function openAcknowledging(options: {
  store: Store;
  calls: CallStore;
  contacts: Contacts;
  rounds: Rounds;
  tokenKey: Buffer;
  acknowledgeAlarm: (alarmId: number, who: string, nowMs: number) => AlarmView | undefined;
  /** After the store took it: the buzzer at the bath, the page. */
  acknowledged: (alarms: readonly AlarmView[]) => void;
  words: CallPayloads['words'];
}): Acknowledging {
  const { store, calls, contacts, rounds } = options;

  const found = (token: string): { delivery: DeliveryRow; call: CallRow } | undefined => {
    const number = deliveryOfToken(options.tokenKey, token);
    const delivery = number === undefined ? undefined : calls.delivery(number);
    const call = delivery === undefined ? undefined : calls.call(delivery.call_number);
    return delivery === undefined || call === undefined ? undefined : { delivery, call };
  };
  /** Who holds a link that has not served holds the later one of the same channel too. */
  const moreAfter = (delivery: DeliveryRow, mayLead: boolean, nowMs: number): Pick<TokenAnswer, 'more'> => {
    const open = new Set(rounds.openAfter(delivery, nowMs).map((alarm) => alarm.alarm_id));
    if (open.size === 0) return {};
    const later = [delivery.call_number, ...calls.callsAfter(delivery.call_number)]
      .flatMap((callNumber) => calls.deliveriesOf(callNumber))
      .filter((one) => one.channel_id === delivery.channel_id && one.used_at_ms === null)
      .filter((one) => rounds.alarmsAnswered(one, nowMs).some((alarm) => open.has(alarm.alarm_id)))
      .at(-1);
    const words = `A later message tells of ${String(open.size)} more that nobody has acknowledged.`;
    return later === undefined || !mayLead
      ? { more: { words } }
      : { more: { words, token: acknowledgeToken(options.tokenKey, later.delivery_number) } };
  };
  const look = (token: string, nowMs: number): TokenAnswer => {
    const one = found(token);
    if (one === undefined)
      return { state: 'unknown', title: 'This link is not known', words: 'It is cut off, or of another dashboard. Open the page and acknowledge there.' }; // prettier-ignore
    const { delivery, call } = one;
    if (delivery.used_at_ms !== null)
      return { state: 'used', title: 'This link was used already', words: 'It serves once. What came since must be acknowledged with its own link, or on the page.', kind: call.kind, ...moreAfter(delivery, false, nowMs) }; // prettier-ignore
    if (nowMs - delivery.queued_at_ms > TOKEN_HOURS * 3_600_000)
      return { state: 'expired', title: 'This link has expired', words: `It served for ${String(TOKEN_HOURS)} hours. Open the page and acknowledge there.`, kind: call.kind }; // prettier-ignore
    const answered = rounds.alarmsAnswered(delivery, nowMs);
    const { title, message } = options.words(call, delivery, nowMs, answered);
    const more = moreAfter(delivery, true, nowMs);
    if (call.kind === 'alarm' && answered.length === 0)
      return { state: 'over', ...overWords(calls.fatesOf(call.call_number, delivery.round)), kind: call.kind, ...more };
    return { state: 'open', title, words: message, kind: call.kind, ...more };
  };

  return {
    look,
    acknowledge: (token, nowMs) => {
      const alarms: AlarmView[] = [];
      const answer = store.together((): TokenAnswer => {
        const before = look(token, nowMs);
        const one = found(token);
        if ((before.state !== 'open' && before.state !== 'over') || one === undefined) return before;
        const { delivery, call } = one;
        calls.use(delivery.delivery_number, nowMs);
        calls.noteConfirmation(delivery, call.kind, nowMs);
        contacts.noteConfirmed(delivery.channel_id, nowMs);
        calls.confirm(call.call_number, nowMs);
        const channel = contacts.channelView(delivery.channel_id);
        const name = contacts.view(delivery.contact_id)?.name ?? 'somebody who was removed';
        const who = channel === undefined ? name : `${name} (${channel.kind})`;
        // The last first: an alarm that another one's call covers is acknowledged before that one, and makes no call of its own.
        for (const alarm of rounds.alarmsAnswered(delivery, nowMs).reverse()) {
          const view = options.acknowledgeAlarm(alarm.alarm_id, who, nowMs);
          if (view !== undefined) alarms.push(view);
        }
        if (call.kind !== 'alarm') calls.end(call.call_number, nowMs);
        return {
          state: 'done',
          title: call.kind === 'alarm' ? 'Acknowledged' : 'Confirmed',
          words: doneWords(call.kind, alarms.length),
          kind: call.kind,
          ...moreAfter(delivery, true, nowMs),
        };
      });
      if (answer.state === 'done') options.acknowledged(alarms);
      return answer;
    },
  };
}

/** Why nothing is left to acknowledge, and where to look. None: an older version let a later call take over all of them. */
function overWords(fates: readonly AlarmFate[]): Pick<TokenAnswer, 'title' | 'words'> {
  if (fates.length === 0)
    return { title: 'A later call tells of it', words: 'Use the link of that call, or acknowledge on the page.' };
  const unseen = fates.filter((fate) => fate.acknowledged_at_ms === null);
  if (unseen.length === 0)
    return { title: 'Acknowledged already', words: 'Somebody has seen what this call was for, and nobody is called for it again. Whether its cause stands is told on the page.' }; // prettier-ignore
  if (unseen.some((fate) => fate.is_silenced === 1))
    return { title: 'Silenced meanwhile', words: 'Somebody has given a reason why it need not call. The page tells it, and until when.' }; // prettier-ignore
  return { title: 'Returned to normal', words: 'What this call was for is over. On the page stands what it was, and there it can still be acknowledged.' }; // prettier-ignore
}

function doneWords(kind: CallPayload['kind'], count: number): string {
  if (kind === 'test') return 'Calls reach this phone. No further test call comes.';
  if (kind !== 'alarm') return 'Thank you.';
  if (count === 0) return 'Somebody had acknowledged it already, or it is over.';
  return `${count === 1 ? 'The alarm is' : `${String(count)} alarms are`} acknowledged, and nobody is called for ${count === 1 ? 'it' : 'them'} again. Acknowledging mends nothing: go and look.`;
}
