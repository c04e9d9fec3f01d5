/* Whether this very device is called, in words: from what its browser and the dashboard say of it. */
import { expect, test } from 'vitest';
import type { CalledOnDevice } from '@bathkeeper/shared-core/messages';
import type { DeviceForPush } from '../../../dashboard/page/words/call-words.js';
import {
  type DeviceState,
  deviceState,
  deviceWords,
  isDeviceAmiss,
} from '../../../dashboard/page/words/device-words.js';
import { first } from '../../browser/canned-calls.js';
import { NIGHT_MS } from '../../browser/canned-night.js';

const phone: DeviceForPush = {
  isSecure: true,
  hasPush: true,
  permission: 'granted',
  mustBeInstalled: false,
  isInstalled: true,
};
const known: CalledOnDevice = { contactId: 1, name: 'First watch', channel: first.channels[0]! };
const failing: CalledOnDevice = {
  contactId: 2,
  name: 'Second watch',
  channel: { ...known.channel, lastFailure: 'The receiver answered 500.' },
};
const words = (state: DeviceState): string => deviceWords(state, NIGHT_MS).replaceAll('\u00a0', ' ');

test.each<[string, Partial<DeviceForPush>, readonly CalledOnDevice[] | null, DeviceState['kind'], RegExp]>([
  ['the dashboard knows it', {}, [known], 'called', /^This device receives calls as “First watch”\. Last delivered .*confirmed/],
  ['two people are called on it, one in vain', {}, [known, failing], 'called', /as “First watch” and “Second watch”\. Failing: The receiver answered 500\.$/],
  ['the dashboard does not know it', {}, [], 'not-known', /^Subscribe again: /],
  ['its browser has no subscription', {}, null, 'not-known', /^Subscribe again: /],
  ['it was never asked', { permission: 'default' }, null, 'never-asked', /^Press the button, then allow notifications/],
  ['it may not show them any more', { permission: 'default' }, [known], 'never-asked', /^Press the button/],
  ['it is blocked in the browser', { permission: 'denied' }, [known], 'unable', /blocked on this device\. Allow them in the settings of the browser/],
  ['the page came over plain http', { isSecure: false, hasPush: false }, null, 'unable', /^Web Push needs HTTPS/],
  ['it must be installed first', { mustBeInstalled: true, isInstalled: false, hasPush: false }, null, 'unable', /only an installed page may be called/],
])('%s', (_what, change, on, kind, said) => {
  const state = deviceState({ ...phone, ...change }, on);
  expect(state.kind).toBe(kind);
  expect(words(state)).toMatch(said);
}); // prettier-ignore

test('it is amiss where somebody may count on it in vain, and not where nobody ever asked it', () => {
  expect(isDeviceAmiss(deviceState(phone, [known]))).toBe(false);
  expect(isDeviceAmiss(deviceState({ ...phone, permission: 'default' }, null))).toBe(false);
  expect(isDeviceAmiss(deviceState(phone, [known, failing]))).toBe(true);
  expect(isDeviceAmiss(deviceState(phone, []))).toBe(true);
  expect(isDeviceAmiss(deviceState({ ...phone, permission: 'denied' }, [known]))).toBe(true);
});
