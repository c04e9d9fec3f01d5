/*
 * A whole dashboard that calls people at receivers on this computer, and what the tests of calling do with it again and again: somebody with a
 * webhook, an alarm that is raised, minutes that pass, a link that is pressed. Called by those tests.
 */
import type { AlarmName, AlarmView, CallPayload, ContactRequest } from '@bathkeeper/shared-core/messages';
import type { TokenAnswer } from '../../../dashboard/server/notify/acknowledge.js';
import { addPerson } from './called-person.js';
import { type WebhookReceiver, webhookReceiver } from './calling-receivers.js';
import { CONTROLLER, dashboardOnTrial, type Trial } from './dashboard-on-trial.js';

export const PAGE = 'https://bath.example.org/';

/** It is 20:00 in the house; nobody is connected. */
export async function trialAt(pageAddress: string | undefined = PAGE): Promise<Trial> {
  const trial = await dashboardOnTrial({
    connect: false,
    more: { pageAddress: () => pageAddress, isPushToPrivateAddressAllowed: true },
  });
  trial.dashboard.calling.settings.setEscalation({
    againAfterMinutes: 5,
    nextPersonAfterMinutes: 10,
    timeZone: 'UTC',
  });
  return trial;
}

export interface Called {
  readonly contactId: number;
  readonly receiver: WebhookReceiver;
}
/** A contact with one webhook. */
export async function contact(trial: Trial, name: string, fields: Partial<ContactRequest> = {}): Promise<Called> {
  const receiver = await webhookReceiver();
  const contactId = addPerson(trial.dashboard, receiver.address, { name, ...fields });
  await trial.dashboard.settle();
  return { contactId, receiver };
}

export function raise(
  trial: Trial,
  name: AlarmName,
  fields: { controllerId?: string; priority?: 'high' | 'medium' | 'low' } = {},
): number {
  const nowMs = trial.clock.nowMs();
  return trial.dashboard.alarms.raise(
    { controllerId: CONTROLLER, name, causeAtMs: nowMs, detail: 'seen', ...fields },
    nowMs,
  )!;
}

/** Minute by minute, so that each ringing is answered before the next. */
export async function minutes(trial: Trial, count: number): Promise<void> {
  for (let minute = 0; minute < count; minute++) await trial.pass(60);
}

export const tokenOf = (payload: CallPayload | undefined): string => payload!.acknowledgeUrl!.split('/').at(-1)!;
export const acknowledge = (trial: Trial, payload: CallPayload | undefined): TokenAnswer =>
  trial.dashboard.calling.acknowledging.acknowledge(tokenOf(payload), trial.clock.nowMs());
export const alarmOf = (trial: Trial, alarmId: number): AlarmView =>
  trial.dashboard.snapshot().alarms.find((alarm) => alarm.alarmId === alarmId)!;
