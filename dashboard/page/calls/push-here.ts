/*
 * Web Push on this very device: what browser and dashboard say about it, and the subscription that the dashboard is given.
 * Called by the room of calls. The subscription goes to the dashboard and is kept nowhere on the page.
 */
import type { ChannelRequest, Refusal } from '@bathkeeper/shared-core/messages';
import { type Answer, askDevice, askPushKey } from '../state/api.js';
import { lookAtSubscription, subscriptionLooked } from '../state/worker.js';
import type { DeviceForPush } from '../words/call-words.js';
import { type DeviceState, deviceState } from '../words/device-words.js';

/** Where an installed page alone may be called, the browser knows installing and hides push until then (from memory: WebKit on phones and tablets). */
const toldByInstalling = (): boolean => 'standalone' in navigator && !('PushManager' in globalThis);

export function deviceForPush(): DeviceForPush {
  return {
    isSecure: isSecureContext,
    hasPush: 'serviceWorker' in navigator && 'PushManager' in globalThis && 'Notification' in globalThis,
    permission: 'Notification' in globalThis ? Notification.permission : 'default',
    mustBeInstalled: toldByInstalling(),
    isInstalled:
      (navigator as { standalone?: boolean }).standalone === true || matchMedia('(display-mode: standalone)').matches,
  };
}

const bytesOf = (base64url: string): Uint8Array<ArrayBuffer> => {
  const text = atob(base64url.replaceAll('-', '+').replaceAll('_', '/'));
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
};

const isSame = (a: Uint8Array, b: ArrayBuffer | null): boolean => {
  if (b === null) return false;
  const other = new Uint8Array(b);
  return other.length === a.length && other.every((byte, place) => byte === a[place]);
};

/**
 * What the dashboard knows this device by: the SHA-256 of its push endpoint in base64url. Undefined: it has none, as over plain http.
 */
export async function deviceName(): Promise<string | undefined> {
  if (!isSecureContext || !('serviceWorker' in navigator) || !('PushManager' in globalThis)) return undefined;
  try {
    const registration = await navigator.serviceWorker.getRegistration();
    const subscription = await registration?.pushManager.getSubscription();
    if (!subscription) return undefined;
    const sum = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(subscription.endpoint));
    const text = btoa(String.fromCharCode(...new Uint8Array(sum)));
    return text.replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
  } catch {
    // A browser that does not let one look: the check then speaks of whoever's phone.
    return undefined;
  }
}

/** Whether this device is called, and on whose account; when the worker has looked at the subscription, so that what it just mended is not told as lost. */
export async function askDeviceHere(): Promise<Answer<DeviceState>> {
  const here = deviceForPush();
  if (here.isSecure && here.hasPush) await subscriptionLooked();
  const name = await deviceName();
  if (name === undefined) return { ok: true, value: deviceState(here, null) };
  const answer = await askDevice(name);
  return answer.ok ? { ok: true, value: deviceState(here, answer.value) } : answer;
}

export type ChannelHere =
  | { readonly request: ChannelRequest }
  /** A whole sentence that says what went wrong and what to do. */
  | { readonly problem: string }
  | { readonly refusal: Refusal };

/** Asks for permission, then for a subscription under the dashboard's key. */
export async function channelHere(): Promise<ChannelHere> {
  // First of all: a browser takes this question only right after a press.
  if ((await Notification.requestPermission()) !== 'granted') {
    return { problem: 'This device was not allowed to show notifications. Allow them for this page, then try again.' };
  }
  const key = await askPushKey();
  if (!key.ok) return { refusal: key.refusal };
  const name = await deviceName();
  const known = name === undefined ? undefined : await askDevice(name);
  if (known?.ok === false) return { refusal: known.refusal };
  return subscribedHere(key.value.publicKey, known?.value.length === 0);
}

/** `isGivenUp`: the dashboard does not know what stands, perhaps since its push service does not: it would be handed out again as it is. */
async function subscribedHere(publicKey: string, isGivenUp: boolean): Promise<ChannelHere> {
  try {
    const { pushManager } = await navigator.serviceWorker.ready;
    const key = bytesOf(publicKey);
    const standing = await pushManager.getSubscription();
    if (standing && (isGivenUp || !isSame(key, standing.options.applicationServerKey))) await standing.unsubscribe();
    const subscription = await pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key });
    const { endpoint, keys } = subscription.toJSON();
    const { p256dh, auth } = keys ?? {};
    if (endpoint === undefined || p256dh === undefined || auth === undefined) {
      return { problem: 'The browser gave no complete subscription. Reload the page and try again.' };
    }
    lookAtSubscription();
    return { request: { kind: 'web-push', subscription: { endpoint, keys: { p256dh, auth } } } };
  } catch (fault) {
    const why = fault instanceof Error ? fault.message.replace(/[.\s]*$/, '') : 'no reason given';
    return {
      problem: `The browser's push service refused (${why}). Check that this device is online, or take a webhook or e‑mail.`,
    };
  }
}
