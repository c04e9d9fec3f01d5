/* Who is called, in words: hours, channels, a test call, Web Push on a device; and the requests that forms make. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { ChannelView, ContactView, LeaveAloneView, TestCallView } from '@bathkeeper/shared-core/messages';
import {
  contactRequest,
  contactRequestOf,
  contactTyped,
  emptyContact,
} from '../../../dashboard/page/calls/contact-request.js';
import { typedHeaders } from '../../../dashboard/page/calls/typed-headers.js';
import {
  channelWords,
  type DeviceForPush,
  hoursWords,
  minuteAsTime,
  minuteOfDay,
  testCallWords,
  whyNoPush,
} from '../../../dashboard/page/words/call-words.js';
import {
  leaveAloneState,
  leaveAloneTitle,
  leaveAloneVerdict,
  missingFirst,
} from '../../../dashboard/page/words/leave-alone-words.js';
import { NIGHT_MS } from '../../browser/canned-night.js';

const plain = (words: string): string => words.replaceAll('\u00a0', ' ');

describe('hours', () => {
  test.each([
    [{ fromMinute: null, toMinute: null }, 'called at any hour'],
    [{ fromMinute: 480, toMinute: 1320 }, 'called from 08:00 to 22:00'],
    [{ fromMinute: 1320, toMinute: 450 }, 'called from 22:00 to 07:30, over midnight'],
  ])('%o is "%s"', (contact, words) => {
    expect(hoursWords(contact)).toBe(words);
  });
  test('every minute of the day is written and read back', () => {
    for (const typed of ['07:30', '7:30', '7.30', '0730', '730']) expect(minuteOfDay(typed)).toBe(450);
    for (let minute = 0; minute < 1440; minute++) expect(minuteOfDay(minuteAsTime(minute))).toBe(minute);
  });
  test.each(['', '24:00', '12:60', '7', 'seven', '-1:00', '07:3'])('"%s" is no time of day', (text) => {
    expect(minuteOfDay(text)).toBeUndefined();
  });
});

describe('a contact from its form', () => {
  test('every fault is told at once, and none without one', () => {
    const reading = contactRequest({ ...emptyContact, isAtAnyHour: false, from: '22:00', to: '22:00' }, 1);
    expect(Object.keys('problems' in reading ? reading.problems : {})).toEqual(['name', 'hours']);
    expect(contactRequest({ ...emptyContact, name: 'First watch' }, 4)).toEqual({
      request: {
        name: 'First watch',
        place: 4,
        fromMinute: null,
        toMinute: null,
        wantsGoodNews: false,
        wantsMorningSummary: false,
        wantsLowPriority: false,
      },
    });
  });
  test('a contact that is opened and saved is the same as before', () => {
    const minute = fc.integer({ min: 0, max: 1439 });
    fc.assert(
      fc.property(
        fc.oneof(
          fc.constant([null, null] as const),
          fc.tuple(minute, minute).filter(([from, to]) => from !== to),
        ),
        fc.boolean(),
        fc.boolean(),
        (hours, wantsGoodNews, wantsLowPriority) => {
          const contact: ContactView = {
            contactId: 1,
            name: 'First watch',
            place: 2,
            fromMinute: hours[0],
            toMinute: hours[1],
            wantsGoodNews,
            wantsMorningSummary: !wantsGoodNews,
            wantsLowPriority,
            channels: [],
          };
          expect(contactRequest(contactTyped(contact), contact.place)).toEqual({ request: contactRequestOf(contact) });
        },
      ),
    );
  });
});

describe('headers of a webhook', () => {
  test('are read one a line; a colon within the value stays', () => {
    expect(typedHeaders('Authorization: Bearer a:b\r\n\n X-Priority : high ')).toEqual({
      headers: [
        { name: 'Authorization', value: 'Bearer a:b' },
        { name: 'X-Priority', value: 'high' },
      ],
    });
  });
  test.each(['no colon', ': value', 'Name:', 'two words: value', 'X-É: value'])(
    '"%s" is refused, and no value is repeated',
    (line) => {
      const reading = typedHeaders(`X-Key: secret-value\n${line}`);
      const problem = 'problem' in reading ? reading.problem : '';
      expect(problem).toMatch(/^Header line 2: expected .*such as/);
      expect(problem).not.toContain('secret-value');
    },
  );
});

describe('a channel', () => {
  const channel: ChannelView = {
    channelId: 1,
    kind: 'webhook',
    shownAddress: 'https://relay.example/…',
    lastDeliveryAtMs: NIGHT_MS - 60_000,
    lastConfirmedAtMs: null,
    lastFailure: null,
  };
  test('that fails says so before anything else', () => {
    expect(channelWords({ ...channel, lastFailure: 'it answered 500.' }, NIGHT_MS)).toBe('Failing: it answered 500.');
  });
  test('a confirmation that is older than a day is said to be old', () => {
    const confirmed = (ago: number): string =>
      channelWords({ ...channel, lastConfirmedAtMs: NIGHT_MS - ago }, NIGHT_MS);
    expect(confirmed(86_400_000)).not.toContain('more than a day ago');
    expect(confirmed(86_400_001)).toContain('more than a day ago');
    expect(channelWords(channel, NIGHT_MS)).toContain('never confirmed');
  });
});

describe('a test call', () => {
  const call: TestCallView = {
    testCallId: 1,
    contactId: 1,
    startedAtMs: NIGHT_MS,
    tries: 1,
    deliveredAtMs: null,
    confirmedAtMs: null,
    endedAtMs: null,
    words: '',
  };
  test('tells how it stands, and that it repeats only where it does', () => {
    expect(testCallWords(call, true)).toBe(
      '1 call sent, not delivered yet. Confirm it on the phone. It repeats each minute until then.',
    );
    expect(testCallWords({ ...call, tries: 2, deliveredAtMs: NIGHT_MS }, false)).toBe(
      '2 calls sent, delivered. Confirm it on the phone.',
    );
  });
  test('that was confirmed is confirmed, whatever ended it', () => {
    const confirmed = { ...call, confirmedAtMs: NIGHT_MS + 8_000, endedAtMs: NIGHT_MS + 8_000 };
    expect(plain(testCallWords(confirmed, true))).toBe('Confirmed after 8 s and 1 call. This phone wakes you.');
    expect(plain(testCallWords(confirmed, false))).not.toContain('This phone wakes you');
  });
  test('that ended unconfirmed never sounds like success', () => {
    expect(testCallWords({ ...call, endedAtMs: NIGHT_MS, words: 'It was stopped.' }, true)).toBe(
      'Ended after 1 call, not confirmed. It was stopped.',
    );
  });
});

describe('Web Push on a device', () => {
  const able: DeviceForPush = {
    isSecure: true,
    hasPush: true,
    permission: 'default',
    mustBeInstalled: false,
    isInstalled: false,
  };
  test('nothing stands in its way where everything is there', () => {
    expect(whyNoPush(able)).toBeNull();
    expect(whyNoPush({ ...able, mustBeInstalled: true, isInstalled: true })).toBeNull();
  });
  test.each([
    [{ isSecure: false, hasPush: false }, 'needs HTTPS'],
    [{ mustBeInstalled: true, hasPush: false }, 'home screen'],
    [{ hasPush: false }, 'has no Web Push'],
    [{ permission: 'denied' }, 'are blocked on this device'],
  ] as const)('%o is told with what to do', (change, words) => {
    expect(whyNoPush({ ...able, ...change })).toContain(words);
  });
});

describe('the leave-alone check', () => {
  const view = (...states: LeaveAloneView['items'][number]['state'][]): LeaveAloneView => ({
    controllerId: 'north-bench',
    checkedAtMs: NIGHT_MS,
    plannedFinishAtMs: null,
    items: states.map((state) => ({ name: 'disk', state, words: 'Words.' })),
  });
  test('what is not known counts as missing', () => {
    expect(missingFirst(view('good', 'unknown', 'missing')).missing).toHaveLength(2);
    expect(leaveAloneVerdict(view('good', 'unknown'))).toBe(
      '1 of 2 is missing. Whether it is left alone is yours to decide.',
    );
  });
  test('a check that checked nothing does not pass', () => {
    expect(leaveAloneVerdict(view())).toBe('Nothing could be checked. Stay with it.');
    expect(leaveAloneVerdict(view('good'))).toMatch(/^Nothing is missing/);
  });
  test('every item has a title, every state a word', () => {
    for (const words of [...Object.values(leaveAloneTitle), ...Object.values(leaveAloneState)]) {
      expect(words.length).toBeGreaterThan(3);
    }
  });
});
