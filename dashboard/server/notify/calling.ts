/*
 * Calling: who is called, how, how often, and what they answered. Opened by the composition root, which gives it the alarm list's turns and asks it
 * for the page. It wires the files of this folder together; the rules are theirs (rounds.ts, escalation.ts, call-queue.ts).
 */
import type { AlarmFigures, AlarmView, CallPayload, ControllerView, MailRequest } from '@bathkeeper/shared-core/messages'; // prettier-ignore
import type { DashboardClock } from '../clock.js';
import type { Store } from '../store/store.js';
import type { AlarmListener } from '../watch/alarm-listener.js';
import { type Acknowledging, openAcknowledging } from './acknowledge.js';
import { openCallQueue, type SendOutcome } from './call-queue.js';
import { alarmCalls } from './alarm-calls.js';
import { callPayloads } from './call-payload.js';
import { type DeliveryRow, openCallStore } from './call-store.js';
import { openCallingSecrets } from './calling-secrets.js';
import { type CallingSettings, openCallingSettings } from './calling-settings.js';
import { type Contacts, openContacts } from './contacts.js';
import { type GoodNews, openGoodNews } from './good-news.js';
import { mailLogin } from './mail.js';
import { takeOverOlderWebhook } from './older-webhook.js';
import { type RingWithoutStore, ringWithoutStore } from './ring-without-store.js';
import { openRounds } from './rounds.js';
import { openSender } from './sender.js';
import { openTestCalls, type TestCalls } from './test-calls.js';
import type { PostOutcome } from './webhook-post.js';

export interface Calling {
  readonly listener: AlarmListener;
  readonly contacts: Contacts;
  readonly settings: CallingSettings;
  readonly testCalls: TestCalls;
  readonly acknowledging: Acknowledging;
  readonly goodNews: GoodNews;
  /** For the browser's `pushManager.subscribe`. */
  readonly pushPublicKey: string;
  /** What the owner should know of it, in a whole sentence; undefined: nothing. */
  readonly problem: string | undefined;
  /** Saves the mail server, tries its log-in, and answers what it said: also what was refused is saved, so that nothing typed is lost. */
  setMail(request: MailRequest): Promise<PostOutcome>;
  /** When a call was last confirmed on a phone; undefined: never. */
  lastConfirmation():
    { readonly atMs: number; readonly contactName: string; readonly kind: CallPayload['kind'] } | undefined;
  /** Rings everybody on duty at once, without the store: for when it takes nothing. No row stays and nothing is tried again: that is the caller's. */
  readonly callWithoutStore: RingWithoutStore;
  /** The clock was set by so much (back is negative): reminders and tries go on by the new one. */
  clockSet(byMs: number): void;
  pump(): Promise<void>;
  readonly underWay: number;
  close(): void;
}

export function openCalling(options: {
  store: Store;
  clock: DashboardClock;
  dataFolder: string;
  /** The page's address, where it is known; it ends with a slash. */
  pageAddress: () => string | undefined;
  bathName: (controllerId: string) => string;
  view: (controllerId: string) => ControllerView | undefined;
  controllers: () => readonly ControllerView[];
  figures: (controllerId: string, fromMs: number, toMs: number) => AlarmFigures;
  acknowledgeAlarm: (alarmId: number, who: string, nowMs: number) => AlarmView | undefined;
  acknowledged: (alarms: readonly AlarmView[]) => void;
  /** A channel fails; in words. `isNews`: it did not fail before. */
  failing: (words: string, isNews: boolean) => void;
  /** No channel fails any more. */
  delivering: () => void;
  /** Something that the page shows has changed. */
  changed: () => void;
  failed: (what: string, fault: unknown) => void;
  isPushToPrivateAddressAllowed?: boolean;
}): Calling {
  const { store, clock } = options;
  const secrets = openCallingSecrets(options.dataFolder);
  const lookAgain = (): void => {
    calls.lookAgain(clock.nowMs());
    wake();
  };
  const settings = openCallingSettings(store, secrets, lookAgain);
  const calls = openCallStore(store);
  let hasChannels = false;
  /** Before that nobody outside can be told anything: the alarm list asks for the listener that this function answers. */
  let isOpened = false;
  const contacts = openContacts(store, secrets, () => {
    hasChannels = contacts.people().length > 0;
    if (isOpened && contacts.failingCount() === 0) options.delivering();
    lookAgain();
    options.changed();
  });
  hasChannels = contacts.people().length > 0;
  const wake = (): void => {
    queue.wake();
  };
  const rounds = openRounds({ calls, contacts, settings });
  const send = openSender({
    secrets,
    settings,
    isPushToPrivateAddressAllowed: options.isPushToPrivateAddressAllowed ?? false,
  });

  const payloads = callPayloads({
    rounds,
    contacts,
    tokenKey: secrets.tokenKey,
    pageAddress: options.pageAddress,
    bathName: options.bathName,
  });

  const booked = (delivery: DeliveryRow, outcome: SendOutcome, isFailing: boolean, nowMs: number): void => {
    const isNews = contacts.channel(delivery.channel_id)?.failing_since_ms === null;
    if (outcome.delivered) contacts.noteDelivered(delivery.channel_id, nowMs);
    else contacts.noteFailure(delivery.channel_id, outcome.words, isFailing || outcome.isGone === true, nowMs);
    if (outcome.delivered) {
      if (contacts.failingCount() === 0) options.delivering();
      return;
    }
    if (!isFailing && outcome.isGone !== true) return;
    const channel = contacts.channelView(delivery.channel_id);
    const contact = contacts.view(delivery.contact_id);
    if (channel !== undefined && contact !== undefined)
      options.failing(`${contact.name}, ${channel.kind} ${channel.shownAddress}: ${outcome.words}`, isNews);
    calls.lookAgainAt(delivery.call_number, nowMs);
  };

  const gone: number[] = [];
  const queue = openCallQueue({
    store,
    calls,
    clock,
    hasChannels: () => hasChannels,
    takeRound: rounds.take,
    matters: rounds.matters,
    send: async (delivery) => {
      const call = calls.call(delivery.call_number);
      if (call === undefined) return { delivered: false, words: 'The call is not in the store any more.' };
      const outcome = await send(delivery.channel_id, payloads.payload(call, delivery, clock.nowMs()));
      if (outcome.isGone === true) gone.push(delivery.channel_id);
      return outcome;
    },
    booked,
    told: () => {
      // What the push service does not know any more is removed, after it was told.
      for (const channelId of gone.splice(0)) contacts.removeChannel(channelId);
      options.changed();
    },
    failed: options.failed,
  });
  takeOverOlderWebhook(store, contacts, clock);
  isOpened = true;
  const newestConfirmation = store.database.prepare<
    [],
    { at_ms: number; name: string | null; kind: CallPayload['kind'] }
  >(
    `SELECT c.at_ms, k.name, c.kind FROM call_confirmations c LEFT JOIN contacts k ON k.contact_id = c.contact_id
     ORDER BY c.at_ms DESC LIMIT 1`,
  );

  return {
    listener: alarmCalls({ calls, contacts, wake }),
    contacts,
    settings,
    testCalls: openTestCalls(calls, contacts, wake),
    acknowledging: openAcknowledging({
      store,
      calls,
      contacts,
      rounds,
      tokenKey: secrets.tokenKey,
      acknowledgeAlarm: options.acknowledgeAlarm,
      acknowledged: options.acknowledged,
      words: payloads.words,
    }),
    goodNews: openGoodNews({ store, calls, contacts, settings, view: options.view, controllers: options.controllers, figures: options.figures, wake }), // prettier-ignore
    pushPublicKey: secrets.pushKeys.publicKey,
    problem: secrets.problem,
    setMail: async (request) => {
      if (request.host === '') {
        settings.setMail(undefined);
        return { delivered: true, words: 'No mail server is set any more.' };
      }
      const server = settings.mailServerWith(request);
      const outcome = await mailLogin(server);
      settings.setMail(server);
      options.changed();
      return outcome;
    },
    lastConfirmation: () => {
      const row = newestConfirmation.get();
      return row === undefined
        ? undefined
        : { atMs: row.at_ms, contactName: row.name ?? 'somebody who was removed', kind: row.kind };
    },
    callWithoutStore: ringWithoutStore({
      clock,
      contacts,
      settings,
      send,
      pageAddress: options.pageAddress,
      ringing: () => calls.ringing().map((alarm) => `${options.bathName(alarm.controller_id)}: ${alarm.title}`),
    }),
    clockSet: (byMs) => {
      calls.clockSet(byMs, clock.nowMs());
      wake();
    },
    pump: queue.pump,
    get underWay() {
      return queue.underWay;
    },
    close: queue.close,
  };
}
