/*
 * Canned people for the browser tests of calls: two in their order, with the pace and the mail server that the room of calls asks for.
 * Put on the shelves of the fixture server; a test spreads one and changes what it is about.
 */
import type { ContactView, EscalationView, MailView } from '@bathkeeper/shared-core/messages';
import { NIGHT_MS } from './canned-night.js';
import type { FixtureServer } from './fixture-server.js';

export const first: ContactView = {
  contactId: 1,
  name: 'First watch',
  place: 1,
  fromMinute: 1320,
  toMinute: 450,
  wantsGoodNews: true,
  wantsMorningSummary: false,
  wantsLowPriority: false,
  channels: [
    {
      channelId: 11,
      kind: 'web-push',
      shownAddress: 'push.example',
      lastDeliveryAtMs: NIGHT_MS - 3_600_000,
      lastConfirmedAtMs: NIGHT_MS - 3_500_000,
      lastFailure: null,
    },
    {
      channelId: 12,
      kind: 'e-mail',
      shownAddress: 'first@example.org',
      lastDeliveryAtMs: null,
      lastConfirmedAtMs: null,
      lastFailure: 'the mail server refused the log-in (535)',
    },
  ],
};
/** Nobody can reach them yet. */
export const second: ContactView = {
  ...first,
  contactId: 2,
  name: 'Second watch',
  place: 2,
  fromMinute: null,
  toMinute: null,
  wantsGoodNews: false,
  channels: [],
};

export const escalation: EscalationView = {
  againAfterMinutes: 3,
  nextPersonAfterMinutes: 10,
  timeZone: 'Europe/Paris',
  morningSummaryAtMinute: 420,
};
const mail: MailView = { isSet: true, host: 'mail.example.org', port: 587, isImplicitTls: false, user: 'bath', from: 'bath@example.org', hasPassword: true }; // prettier-ignore

export function shelveContacts(server: FixtureServer, ...contacts: ContactView[]): void {
  server.shelves.set('/api/contacts', contacts);
  server.shelves.set('/api/escalation', escalation);
  server.shelves.set('/api/mail', mail);
}
