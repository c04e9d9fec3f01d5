/*
 * Whether this very device is called, in words that begin with what to do. Used by the room of calls; pure: what the browser and the dashboard say of
 * the device is passed in.
 */
import type { CalledOnDevice } from '@bathkeeper/shared-core/messages';
import { channelWords, type DeviceForPush, whyNoPush } from './call-words.js';

export type DeviceState =
  /** Web Push does not work here, or is blocked; in words. */
  | { readonly kind: 'unable'; readonly why: string }
  | { readonly kind: 'never-asked' }
  /** The browser has no subscription any more, or the dashboard does not know it: the push service gave it up, or somebody removed it. */
  | { readonly kind: 'not-known' }
  | { readonly kind: 'called'; readonly on: readonly CalledOnDevice[] };

/** `on`: who is called on it, as the dashboard says; null: the browser has no subscription to ask for. */
export function deviceState(device: DeviceForPush, on: readonly CalledOnDevice[] | null): DeviceState {
  const why = whyNoPush(device);
  if (why !== null) return { kind: 'unable', why };
  if (device.permission !== 'granted') return { kind: 'never-asked' };
  return on === null || on.length === 0 ? { kind: 'not-known' } : { kind: 'called', on };
}

/** Somebody may count on it in vain. One that was never asked is none of those. */
export function isDeviceAmiss(state: DeviceState): boolean {
  return state.kind === 'called'
    ? state.on.some(({ channel }) => channel.lastFailure !== null)
    : state.kind !== 'never-asked';
}

/** Example: "This device receives calls as “First watch”. Last delivered 01:04, confirmed 01:05." */
export function deviceWords(state: DeviceState, nowMs: number): string {
  switch (state.kind) {
    case 'unable':
      return `${state.why} Until then this device receives no calls by Web Push.`;
    case 'never-asked':
      return 'Press the button, then allow notifications: this device receives no calls yet, and was never asked whether it may show them.';
    case 'not-known':
      return 'Subscribe again: this device receives no calls. The push service or the dashboard does not know its subscription any more, or somebody removed it.';
    case 'called': {
      const names = state.on.map(({ name }) => `“${name}”`).join(' and ');
      const one = state.on.find(({ channel }) => channel.lastFailure !== null) ?? state.on[0]!;
      return `This device receives calls as ${names}. ${channelWords(one.channel, nowMs)}`;
    }
  }
}
