/*
 * Calling: who is called, how, how often, and what they answered. Opened by the composition root, which gives it the alarm list's turns and asks it
 * for the page. It wires the files of this folder together; the rules are theirs (rounds.ts, escalation.ts, call-queue.ts).
 */
import type { AlarmFigures, AlarmView, CallPayload, ControllerView, MailRequest, TestCallView, WebhookView } from '@bathkeeper/shared-core/messages'; // prettier-ignore
import type { DashboardClock } from '../clock.js';
import type { Store } from '../store/store.js';
import type { AlarmListener } from '../watch/alarm-listener.js';
import { acknowledgeToken } from './acknowledge-token.js';
import { type Acknowledging, openAcknowledging } from './acknowledge.js';
import { openCallQueue, type SendOutcome } from './call-queue.js';
import { type CallRow, type DeliveryRow, openCallStore } from './call-store.js';
import { alarmCallWords } from './call-words.js';
import { openCallingSecrets } from './calling-secrets.js';
import { type CallingSettings, openCallingSettings } from './calling-settings.js';
import { type Contacts, isOnDuty, openContacts } from './contacts.js';
import { type GoodNews, openGoodNews } from './good-news.js';
import { mailLogin } from './mail.js';
import { openRounds } from './rounds.js';
import { openSender } from './sender.js';
import { openTestCalls, type TestCalls } from './test-calls.js';
import type { PostOutcome, WebhookTarget } from './webhook-post.js';

/** Where the page has no address there is no link to press. */
const NO_LINK = 'This call has no link, since no address of the page is set: acknowledge on the page, or at the bath.';
const OLD_WEBHOOK = 'webhook';

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
  /** The first contact's first webhook, for who knows only that. */
  webhook(): WebhookTarget | undefined;
  setWebhook(target: WebhookTarget | undefined): void;
  webhookView(): WebhookView;
  /** When a call was last confirmed on a phone; undefined: never. */
  lastConfirmation():
    { readonly atMs: number; readonly contactName: string; readonly kind: CallPayload['kind'] } | undefined;
  /**
   * Rings everybody on duty over every channel at once, without the store, and answers how many took it: for when the store takes nothing. No
   * row stays and nothing is tried again: that is the caller's.
   */
  callWithoutStore(title: string, message: string): Promise<number>;
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
  /** A channel fails; in words. */
  failing: (words: string) => void;
  /** No channel fails any more. */
  delivering: () => void;
  /** Something that the page shows has changed. */
  changed: () => void;
  failed: (what: string, fault: unknown) => void;
  isPushToPrivateAddressAllowed?: boolean;
}): Calling {
  const { store, clock } = options;
  const secrets = openCallingSecrets(options.dataFolder);
  const settings = openCallingSettings(store, secrets);
  const calls = openCallStore(store);
  let hasChannels = false;
  /** Before that nobody outside can be told anything: the alarm list asks for the listener that this function answers. */
  let isOpened = false;
  const contacts = openContacts(store, secrets, () => {
    hasChannels = contacts.people().length > 0;
    if (isOpened && contacts.failingCount() === 0) options.delivering();
    calls.lookAgain(clock.nowMs());
    wake();
    options.changed();
  });
  hasChannels = contacts.people().length > 0;
  const wake = (): void => {
    queue.wake();
  };
  const rounds = openRounds({ calls, contacts, settings, wake });
  const send = openSender({
    secrets,
    settings,
    isPushToPrivateAddressAllowed: options.isPushToPrivateAddressAllowed ?? false,
  });

  const wordsOf = (call: CallRow, delivery: DeliveryRow, nowMs: number): { title: string; message: string } => {
    if (call.kind !== 'alarm') return { title: call.title ?? 'Bathkeeper', message: call.message ?? '' };
    const told = rounds.alarmsToTell(delivery, nowMs).map((alarm) => ({
      bathName: options.bathName(alarm.controller_id),
      title: alarm.title,
      detail: alarm.detail,
      checkFirst: alarm.check_first,
    }));
    const since = call.started_at_ms ?? delivery.queued_at_ms;
    return alarmCallWords(told, delivery.round <= 1 ? undefined : Math.round((delivery.queued_at_ms - since) / 60_000));
  };
  const payloadOf = (call: CallRow, delivery: DeliveryRow, nowMs: number): CallPayload => {
    const first = rounds.alarmsToTell(delivery, nowMs)[0];
    const address = options.pageAddress();
    const words = wordsOf(call, delivery, nowMs);
    return {
      id: `${call.call_id}-${String(delivery.delivery_number)}`,
      call: call.call_id,
      kind: call.kind,
      ...words,
      ...(address === undefined && call.kind === 'alarm' ? { message: `${words.message} ${NO_LINK}` } : {}),
      priority: call.priority,
      alarm: first?.name ?? call.kind,
      controller: call.controller_id,
      raisedAt: new Date(first?.raised_at_ms ?? call.queued_at_ms).toISOString(),
      contact: contacts.view(delivery.contact_id)?.name ?? '',
      ...(address === undefined
        ? {}
        : {
            // Straight to the story of the alarm; the page knows this part of an address (dashboard/page/state/route.ts).
            url: first === undefined ? address : new URL(`#alarm/${String(first.alarm_id)}`, address).href,
            acknowledgeUrl: new URL(
              `acknowledge/${acknowledgeToken(secrets.tokenKey, delivery.delivery_number)}`,
              address,
            ).href,
          }),
    };
  };

  const booked = (delivery: DeliveryRow, outcome: SendOutcome, isFailing: boolean, nowMs: number): void => {
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
      options.failing(`${contact.name}, ${channel.kind} ${channel.shownAddress}: ${outcome.words}`);
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
      const outcome = await send(delivery.channel_id, payloadOf(call, delivery, clock.nowMs()));
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
  const webhookChannel = (): { channelId: number; target: WebhookTarget } | undefined => {
    for (const person of contacts.people())
      for (const channel of person.channels) {
        const target = secrets.target(channel.channel_id);
        if (target?.kind === 'webhook') return { channelId: channel.channel_id, target };
      }
    return undefined;
  };
  const setWebhook = (target: WebhookTarget | undefined): void => {
    const known = webhookChannel();
    if (target === undefined) {
      if (known !== undefined) contacts.removeChannel(known.channelId);
      return;
    }
    const full = { kind: 'webhook' as const, template: '', contentType: 'application/json', headers: [], address: target.address, allowPrivateAddress: target.allowPrivateAddress }; // prettier-ignore
    if (known !== undefined) contacts.changeChannel(known.channelId, full);
    else {
      const first = contacts.views()[0] ?? contacts.add({ name: 'Owner', place: 1, fromMinute: null, toMinute: null, wantsGoodNews: false, wantsMorningSummary: false }); // prettier-ignore
      contacts.addChannel(first.contactId, full, clock.nowMs());
    }
  };
  // What an older version knew as the one webhook becomes the first contact's; its address leaves the store.
  const old = store.setting(OLD_WEBHOOK);
  if (old !== undefined && old !== '') {
    setWebhook(JSON.parse(old) as WebhookTarget);
    store.setSetting(OLD_WEBHOOK, '');
  }
  isOpened = true;
  const newestConfirmation = store.database.prepare<
    [],
    { at_ms: number; name: string | null; kind: CallPayload['kind'] }
  >(
    `SELECT c.at_ms, k.name, c.kind FROM call_confirmations c LEFT JOIN contacts k ON k.contact_id = c.contact_id
     ORDER BY c.at_ms DESC LIMIT 1`,
  );

  return {
    listener: rounds.listener,
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
      words: wordsOf,
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
    webhook: () => webhookChannel()?.target,
    setWebhook,
    webhookView: () => {
      const known = webhookChannel();
      const view = known === undefined ? undefined : contacts.channelView(known.channelId);
      return {
        isSet: view !== undefined,
        shownAddress: view?.shownAddress ?? null,
        lastDeliveryAtMs: view?.lastDeliveryAtMs ?? null,
        lastFailure: view?.lastFailure ?? null,
      };
    },
    lastConfirmation: () => {
      const row = newestConfirmation.get();
      return row === undefined
        ? undefined
        : { atMs: row.at_ms, contactName: row.name ?? 'somebody who was removed', kind: row.kind };
    },
    callWithoutStore: async (title, message) => {
      const nowMs = clock.nowMs();
      const { timeZone } = settings.escalation();
      const all = contacts.people();
      const onDuty = all.filter((person) => isOnDuty(person, nowMs, timeZone));
      const address = options.pageAddress();
      const outcomes = await Promise.all(
        (onDuty.length > 0 ? onDuty : all).flatMap((person) =>
          person.channels.map((channel) =>
            send(channel.channel_id, {
              id: `${String(nowMs)}-${String(channel.channel_id)}`,
              call: String(nowMs),
              kind: 'alarm',
              title,
              message,
              priority: 'high',
              alarm: 'store-not-writable',
              controller: '',
              raisedAt: new Date(nowMs).toISOString(),
              contact: person.name,
              ...(address === undefined ? {} : { url: address }),
            }),
          ),
        ),
      );
      return outcomes.filter((outcome) => outcome.delivered).length;
    },
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

export type { TestCallView };
