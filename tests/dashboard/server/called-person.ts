/*
 * Somebody who is called over one webhook, or a further webhook of theirs, as the settings page would add them. Used by tests, nights and benchmarks:
 * whoever needs a receiver that rings.
 */
import type { Dashboard } from '@bathkeeper/dashboard';
import type { ContactRequest } from '@bathkeeper/shared-core/messages';

export const atAnyHour: Omit<ContactRequest, 'name' | 'place'> = {
  fromMinute: null,
  toMinute: null,
  wantsGoodNews: false,
  wantsMorningSummary: false,
};

/** Last in the order where nothing else is said; answers their number. */
export function addPerson(dashboard: Dashboard, address: string, fields: Partial<ContactRequest> = {}): number {
  const { contacts } = dashboard.calling;
  const { contactId } = contacts.add({ name: 'Owner', place: 100, ...atAnyHour, ...fields });
  addWebhook(dashboard, contactId, address);
  return contactId;
}

/** Answers the channel's number. */
export function addWebhook(dashboard: Dashboard, contactId: number, address: string): number {
  return dashboard.calling.contacts.addChannel(
    contactId,
    {
      kind: 'webhook',
      address,
      allowPrivateAddress: true,
      template: '',
      contentType: 'application/json',
      headers: [],
    },
    dashboard.clock.nowMs(),
  ).channelId;
}
