/*
 * Hands one delivery to its channel: puts the words together, finds where the channel leads, and answers what became of it. Called by the
 * queue, and for a call without the store when the store does not take one. It books nothing.
 */
import type { CallPayload } from '@bathkeeper/shared-core/messages';
import type { CallingSecrets } from './calling-secrets.js';
import type { CallingSettings } from './calling-settings.js';
import type { SendOutcome } from './call-queue.js';
import { sendMail } from './mail.js';
import { sendPush } from './web-push.js';
import { postToWebhook } from './webhook-post.js';
import { filledTemplate } from './webhook-template.js';

export type Send = (channelId: number, payload: CallPayload) => Promise<SendOutcome>;

/** A path in the page's own origin, as a service worker wants it: the page may be open under another name than a mail is given. */
function pathOf(address: string): string {
  const { pathname, search, hash } = new URL(address);
  return pathname + search + hash;
}

export function openSender(options: {
  secrets: CallingSecrets;
  settings: CallingSettings;
  /** For tests, whose push service is on this computer. */
  isPushToPrivateAddressAllowed: boolean;
}): Send {
  const { secrets, settings } = options;
  return async (channelId, payload) => {
    const target = secrets.target(channelId);
    switch (target?.kind) {
      case undefined:
        return { delivered: false, words: 'Where this channel leads was lost with its file. Remove it and enter it again.' }; // prettier-ignore
      case 'web-push': {
        const { url, acknowledgeUrl, ...rest } = payload;
        return sendPush(
          target.subscription,
          {
            ...rest,
            ...(url === undefined ? {} : { url: pathOf(url) }),
            ...(acknowledgeUrl === undefined ? {} : { acknowledgeUrl: pathOf(acknowledgeUrl) }),
          },
          {
            keys: secrets.pushKeys,
            contactAddress: mailboxIn(settings.mailServer()?.from),
            allowPrivateAddress: options.isPushToPrivateAddressAllowed,
          },
        );
      }
      case 'e-mail': {
        const server = settings.mailServer();
        return server === undefined
          ? { delivered: false, words: 'No mail server is set. Enter it in the settings.' }
          : sendMail(server, target.address, payload);
      }
      case 'webhook': {
        const { template, contentType } = target;
        const body = template === '' ? JSON.stringify(payload) : filledTemplate(template, contentType, payload);
        return postToWebhook({ ...target, contentType: template === '' ? 'application/json' : contentType }, body);
      }
    }
  };
}

/** `Bath <bath@example.org>` -> `bath@example.org`. */
function mailboxIn(from: string | undefined): string | undefined {
  return /<([^<>\s]+@[^<>\s]+)>/.exec(from ?? '')?.[1] ?? /^[^<>\s]+@[^<>\s]+$/.exec(from ?? '')?.[0];
}
