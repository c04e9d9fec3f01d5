/*
 * What an older version knew as its one webhook, with its address in the store, becomes that of a first contact. Called once at each start by
 * calling.ts; where there is none it does nothing.
 */
import { z } from 'zod';
import type { DashboardClock } from '../clock.js';
import type { Store } from '../store/store.js';
import type { Contacts } from './contacts.js';

const OLD_WEBHOOK = 'webhook';
const oldWebhook = z.object({ address: z.string(), allowPrivateAddress: z.boolean() });

export function takeOverOlderWebhook(store: Store, contacts: Contacts, clock: DashboardClock): void {
  const old = store.setting(OLD_WEBHOOK);
  if (old === undefined || old === '') return;
  const { address, allowPrivateAddress } = oldWebhook.parse(JSON.parse(old));
  // All at once: a start that was cut short does not add it twice.
  store.together(() => {
    const first =
      contacts.views()[0] ??
      contacts.add({
        name: 'Owner',
        place: 1,
        fromMinute: null,
        toMinute: null,
        wantsGoodNews: false,
        wantsMorningSummary: false,
      });
    contacts.addChannel(
      first.contactId,
      { kind: 'webhook', template: '', contentType: 'application/json', headers: [], address, allowPrivateAddress },
      clock.nowMs(),
    );
    // The address leaves the store: it may be secret.
    store.setSetting(OLD_WEBHOOK, '');
  });
}
