/*
 * Test calls: one ringing of one person or channel, or one a minute until it is confirmed on the phone itself. Asked by the settings page
 * and before a run is left alone. A test call goes the same way as a true one, through queue, token and all.
 */
import type { TestCallView } from '@bathkeeper/shared-core/messages';
import type { CallRow, CallStore } from './call-store.js';
import type { Contacts } from './contacts.js';
import { TEST_ROUNDS_MAX } from './rounds.js';

export interface TestCalls {
  /** Undefined: there is no such contact, or nothing by which to reach it. */
  start(
    contactId: number,
    channelId: number | undefined,
    repeatsUntilConfirmed: boolean,
    nowMs: number,
  ): TestCallView | undefined;
  view(testCallId: number): TestCallView | undefined;
  stop(testCallId: number, nowMs: number): TestCallView | undefined;
}

export function openTestCalls(calls: CallStore, contacts: Contacts, wake: () => void): TestCalls {
  const view = (testCallId: number): TestCallView | undefined => {
    const call = calls.call(testCallId);
    return call?.kind === 'test' ? viewOf(call, calls.deliveriesOf(testCallId)) : undefined;
  };
  return {
    view,
    start: (contactId, channelId, repeatsUntilConfirmed, nowMs) => {
      const person = contacts.people().find((one) => one.contactId === contactId);
      if (person === undefined) return undefined;
      if (channelId !== undefined && !person.channels.some((one) => one.channel_id === channelId)) return undefined;
      const testCallId = calls.add(
        {
          kind: 'test',
          controllerId: '',
          priority: 'high',
          title: 'Bathkeeper: test call',
          message:
            'This is a test. If you can read it on your locked phone, calls reach you. Confirm it with the button.',
          contactId,
          roundsMax: repeatsUntilConfirmed ? TEST_ROUNDS_MAX : 1,
          ...(channelId === undefined ? {} : { channelId }),
        },
        nowMs,
      );
      wake();
      return view(testCallId);
    },
    stop: (testCallId, nowMs) => {
      if (view(testCallId) === undefined) return undefined;
      calls.end(testCallId, nowMs);
      return view(testCallId);
    },
  };
}

type Deliveries = ReturnType<CallStore['deliveriesOf']>;

function viewOf(call: CallRow, deliveries: Deliveries): TestCallView {
  const deliveredAt = deliveries.flatMap((one) => (one.delivered_at_ms === null ? [] : [one.delivered_at_ms]));
  return {
    testCallId: call.call_number,
    contactId: call.contact_id!,
    startedAtMs: call.queued_at_ms,
    tries: call.round,
    deliveredAtMs: deliveredAt.length === 0 ? null : Math.min(...deliveredAt),
    confirmedAtMs: call.confirmed_at_ms,
    endedAtMs: call.ended_at_ms,
    words: wordsOf(call, deliveries, deliveredAt.length > 0),
  };
}

function wordsOf(call: CallRow, deliveries: Deliveries, isDelivered: boolean): string {
  if (call.confirmed_at_ms !== null) return 'Confirmed on the phone.';
  const failures = [...new Set(deliveries.flatMap((one) => (one.last_failure === null ? [] : [one.last_failure])))];
  const failed = failures.length === 0 ? '' : ` ${failures.join(' ')}`;
  if (call.ended_at_ms !== null)
    return isDelivered ? `Ended without being confirmed.${failed}` : `Ended without being delivered.${failed}`;
  if (!isDelivered) return `Not delivered yet.${failed}`;
  return `Delivered; waits to be confirmed on the phone.${failed}`;
}
