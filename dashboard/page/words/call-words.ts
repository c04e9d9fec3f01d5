/*
 * Who is called and how, in words: hours, channels, a test call, and why a phone cannot be reached by Web Push from here.
 * Used by the rooms of calls and of the leave-alone check; pure. Secrets never come here: the dashboard hides them.
 */
import type { ChannelKind, ChannelView, ContactView, TestCallView } from '@bathkeeper/shared-core/messages';
import { spanWords, timeWords } from './times.js';

export const channelName: Readonly<Record<ChannelKind, string>> = {
  'web-push': 'Web Push',
  'e-mail': 'E‑mail',
  webhook: 'Webhook',
};

const twoDigits = (value: number): string => String(value).padStart(2, '0');

/** Minutes of the day as a field of type time writes them: 450 is "07:30". */
export function minuteAsTime(minute: number): string {
  return `${twoDigits(Math.floor(minute / 60))}:${twoDigits(minute % 60)}`;
}

/** "07:30" is 450, and so are "7.30" and "0730", since a phone's keys for numbers have no colon; undefined: not a time of day. */
export function minuteOfDay(text: string): number | undefined {
  const found = /^(\d{1,2})[:.]?(\d{2})$/.exec(text.trim());
  if (!found) return undefined;
  const [hours, minutes] = [Number(found[1]), Number(found[2])];
  return hours < 24 && minutes < 60 ? hours * 60 + minutes : undefined;
}

/** Example: "called from 22:00 to 07:00, over midnight", "called at any hour". */
export function hoursWords(contact: Pick<ContactView, 'fromMinute' | 'toMinute'>): string {
  const { fromMinute, toMinute } = contact;
  if (fromMinute === null || toMinute === null) return 'called at any hour';
  const over = fromMinute > toMinute ? ', over midnight' : '';
  return `called from ${minuteAsTime(fromMinute)} to ${minuteAsTime(toMinute)}${over}`;
}

/** Older than this, a confirmed call says little about tonight. */
const CONFIRMED_FRESH_MS = 86_400_000;

/** Its state in one sentence; what is wrong with it first. */
export function channelWords(channel: ChannelView, nowMs: number): string {
  if (channel.lastFailure !== null) return `Failing: ${channel.lastFailure.replace(/[.\s]*$/, '')}.`;
  if (channel.lastDeliveryAtMs === null) return 'Nothing has been delivered yet: send a test call.';
  const delivered = `Last delivered ${timeWords(channel.lastDeliveryAtMs, nowMs)}`;
  if (channel.lastConfirmedAtMs === null) return `${delivered}; never confirmed by anybody.`;
  const confirmed = `confirmed ${timeWords(channel.lastConfirmedAtMs, nowMs)}`;
  return nowMs - channel.lastConfirmedAtMs > CONFIRMED_FRESH_MS
    ? `${delivered}, ${confirmed}: more than a day ago.`
    : `${delivered}, ${confirmed}.`;
}

export type TestCallState = 'confirmed' | 'ended' | 'waiting';

export function testCallState(call: TestCallView): TestCallState {
  return call.confirmedAtMs !== null ? 'confirmed' : call.endedAtMs !== null ? 'ended' : 'waiting';
}

/** Example: "Call 2 is out, delivered. Confirm it on the phone; it repeats each minute until then." */
export function testCallWords(call: TestCallView, repeats: boolean): string {
  const tries = `${String(call.tries)} ${call.tries === 1 ? 'call' : 'calls'}`;
  switch (testCallState(call)) {
    case 'confirmed': {
      const seconds = ((call.confirmedAtMs ?? call.startedAtMs) - call.startedAtMs) / 1000;
      // Who holds the phone in the hand has shown that calls come, and nothing of the night.
      const shown = repeats
        ? 'This phone wakes you.'
        : 'Calls reach this phone. Whether they wake you, only the test before you leave it alone tells.';
      return `Confirmed after ${spanWords(seconds)} and ${tries}. ${shown}`;
    }
    case 'ended':
      return `Ended after ${tries}, not confirmed. ${call.words}`.trim();
    case 'waiting': {
      const sent = call.deliveredAtMs === null ? 'not delivered yet' : 'delivered';
      const next = repeats ? ' It repeats each minute until then.' : '';
      return `${tries} sent, ${sent}. Confirm it on the phone.${next}`;
    }
  }
}

export interface DeviceForPush {
  /** As the browser says it: https, or this very computer. */
  readonly isSecure: boolean;
  readonly hasPush: boolean;
  readonly permission: 'default' | 'granted' | 'denied';
  /** A phone or tablet on which only an installed page may be called. */
  readonly mustBeInstalled: boolean;
  readonly isInstalled: boolean;
}

/** Why this device cannot be called by Web Push, and what to do; null: it can. */
export function whyNoPush(device: DeviceForPush): string | null {
  if (!device.isSecure) {
    return 'Web Push needs HTTPS, and this page came over plain http. A webhook or e‑mail serves without it; how to come by HTTPS stands under Settings.';
  }
  if (device.mustBeInstalled && !device.isInstalled) {
    return 'On this device only an installed page may be called: put this page on the home screen (share, then add to home screen), open it from there, and come back here.';
  }
  if (!device.hasPush) {
    return 'This browser has no Web Push. Take another browser, or a webhook or e‑mail.';
  }
  if (device.permission === 'denied') {
    return 'Notifications from this page are blocked on this device. Allow them in the settings of the browser for this address, then reload.';
  }
  return null;
}
