/* From a pushed text to a notification, and what of the page's own files is kept. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  acknowledgedWords,
  addressWithin,
  callFrom,
  moreIn,
  notificationOf,
} from '../../../dashboard/page/service-worker/notification.js';
import { filesNamedIn, keptPage } from '../../../dashboard/page/service-worker/page-files.js';

const call = {
  id: 'r-1',
  call: 'c-7',
  kind: 'alarm',
  title: 'Rotation stopped',
  message: 'Look whether the part still turns.',
  priority: 'high',
  acknowledgeUrl: '/acknowledge/token',
} as const;

describe('a pushed call', () => {
  test('whatever text was pushed becomes a notification with a title', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json(), fc.constantFrom('null', '[]', '7', '{"title":3}')), (text) => {
        const { title, options } = notificationOf(callFrom(text));
        expect(title.length).toBeGreaterThan(0);
        expect(options.tag!.length).toBeGreaterThan(0);
      }),
    );
  });
  test('what must wake rings again under the same tag and stays; good news do neither', () => {
    const alarm = notificationOf(callFrom(JSON.stringify(call))).options;
    expect([alarm.tag, alarm.renotify, alarm.requireInteraction]).toEqual(['c-7', true, true]);
    const news = notificationOf(callFrom(JSON.stringify({ ...call, kind: 'good-news', priority: 'low' }))).options;
    expect([news.renotify, news.requireInteraction]).toEqual([false, false]);
  });
  test('an unknown priority or kind is taken for the gravest', () => {
    const taken = callFrom(JSON.stringify({ ...call, kind: 'new', priority: 'urgent' }));
    expect([taken.kind, taken.priority]).toEqual(['alarm', 'high']);
  });
  test('without an address to acknowledge there is no button that would lie', () => {
    expect(notificationOf(callFrom(JSON.stringify({ ...call, acknowledgeUrl: undefined }))).options.actions).toEqual(
      [],
    );
  });
  test('a test call asks to be confirmed', () => {
    expect(notificationOf(callFrom(JSON.stringify({ ...call, kind: 'test' }))).options.actions).toEqual([
      { action: 'acknowledge', title: 'Confirm' },
    ]);
  });
});

describe('after an acknowledgement', () => {
  const kept = { tag: 'c-7', data: {} };
  test('only a good answer says acknowledged', () => {
    expect(acknowledgedWords('Held', { isDone: true, status: 200 }, kept).title).toBe('Acknowledged: Held');
    for (const status of [0, 404, 409, 410, 429, 500]) {
      const shown = acknowledgedWords('Held', { isDone: false, status }, kept);
      expect(shown.title).toBe('Not acknowledged: Held');
      expect(shown.options.requireInteraction).toBe(true);
      expect(shown.options.body).toMatch(/Open the page and acknowledge there\.$/);
    }
  });
  test('what else is open stands first, and stays in sight', () => {
    const more = moreIn({ state: 'done', more: 'A later message tells of 2 more that nobody has acknowledged.' });
    const done = acknowledgedWords('Held', { isDone: true, status: 200, more }, kept).options;
    expect(done.body).toMatch(/^A later message tells of 2 more that nobody has acknowledged\. It was told/);
    expect(done.requireInteraction).toBe(true);
    expect(acknowledgedWords('Held', { isDone: true, status: 200 }, kept).options.requireInteraction).toBe(false);
    const used = acknowledgedWords('Held', { isDone: false, status: 409, more }, kept).options;
    expect(used.body).toMatch(/^A later message tells of 2 more .* used already.* acknowledge there\.$/);
  });
  test('an answer that is not the dashboard’s tells nothing of what else is open', () => {
    for (const answer of [undefined, null, 'more', [], {}, { more: 3 }, { more: '' }])
      expect(moreIn(answer)).toBeUndefined();
  });
  test('a second try does not pile up words', () => {
    expect(acknowledgedWords('Not acknowledged: Held', { isDone: true, status: 200 }, kept).title).toBe(
      'Acknowledged: Held',
    );
  });
});

describe('addresses', () => {
  test('none leads out of the own origin, whatever was pushed', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.webUrl(), fc.string(), fc.constantFrom('//evil.example/x', 'javascript:alert(1)')),
        (text) => {
          expect(new URL(addressWithin('https://bath.example', text)).origin).toBe('https://bath.example');
        },
      ),
    );
  });
  test('the hash that names an alarm is kept', () => {
    expect(addressWithin('https://bath.example', 'http://192.0.2.1:4180/#alarm/12')).toBe(
      'https://bath.example/#alarm/12',
    );
  });
});

describe("the page's own files", () => {
  test('files that a page names are found; what lies elsewhere is not', () => {
    const html = '<link href="/icon.svg"><script src="./assets/a-1.js"></script><a href="#x"></a><img src="https://e.example/i.png"><img src="//e.example/j">'; // prettier-ignore
    expect(filesNamedIn(html)).toEqual(['/icon.svg', './assets/a-1.js']);
  });
  test.each([
    ['GET', '/api/state'],
    ['GET', '/api/stream'],
    ['GET', '/trust'],
    ['GET', '/acknowledge/token'],
    ['POST', '/'],
    ['POST', '/assets/a.js'],
  ])('%s %s goes to the network as if no worker stood between', (method, path) => {
    const request = new Request(`https://bath.example${path}`, { method });
    expect(keptPage(request, 'https://bath.example', () => undefined)).toBeNull();
  });
  test('nothing of another origin is answered', () => {
    const request = new Request('https://elsewhere.example/assets/a.js');
    expect(keptPage(request, 'https://bath.example', () => undefined)).toBeNull();
  });
});
