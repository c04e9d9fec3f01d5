/*
 * Calling for whoever knows only one webhook: the first contact's first one, made where there is none. Used by the composition root's plain
 * setting and by the page's summary; people and further channels are the contacts'.
 */
import type { WebhookView } from '@bathkeeper/shared-core/messages';
import type { DashboardClock } from '../clock.js';
import type { Store } from '../store/store.js';
import type { CallingSecrets } from './calling-secrets.js';
import type { Contacts } from './contacts.js';
import type { WebhookTarget } from './webhook-post.js';

/** As an older version kept it in the store. */
const OLD_WEBHOOK = 'webhook';

export interface OneWebhook {
  /** Undefined: there is none. */
  webhook(): WebhookTarget | undefined;
  setWebhook(target: WebhookTarget | undefined): void;
  webhookView(): WebhookView;
}

export function openOneWebhook(options: {
  store: Store;
  contacts: Contacts;
  secrets: CallingSecrets;
  clock: DashboardClock;
}): OneWebhook {
  const { store, contacts, secrets, clock } = options;
  const known = (): { channelId: number; target: WebhookTarget } | undefined => {
    for (const person of contacts.people())
      for (const channel of person.channels) {
        const target = secrets.target(channel.channel_id);
        if (target?.kind === 'webhook') return { channelId: channel.channel_id, target };
      }
    return undefined;
  };
  const setWebhook = (target: WebhookTarget | undefined): void => {
    const before = known();
    if (target === undefined) {
      if (before !== undefined) contacts.removeChannel(before.channelId);
      return;
    }
    const full = { kind: 'webhook' as const, template: '', contentType: 'application/json', headers: [], address: target.address, allowPrivateAddress: target.allowPrivateAddress }; // prettier-ignore
    if (before !== undefined) contacts.changeChannel(before.channelId, full);
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
  return {
    webhook: () => known()?.target,
    setWebhook,
    webhookView: () => {
      const one = known();
      const view = one === undefined ? undefined : contacts.channelView(one.channelId);
      return {
        isSet: view !== undefined,
        shownAddress: view?.shownAddress ?? null,
        lastDeliveryAtMs: view?.lastDeliveryAtMs ?? null,
        lastFailure: view?.lastFailure ?? null,
      };
    },
  };
}
