/* The rules of calling that need no server: who is rung when, hours in the house's zone, words, templates, tokens. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { acknowledgeToken, deliveryOfToken } from '../../../dashboard/server/notify/acknowledge-token.js';
import { alarmCallWords, highestPriority } from '../../../dashboard/server/notify/call-words.js';
import { type Callee, type RoundBefore, roundAt, USUAL_PACE } from '../../../dashboard/server/notify/escalation.js';
import {
  isTimeZone,
  isWithinHours,
  localDay,
  localTime,
  minuteOfDay,
  minutesUntil,
  dutyBeginsMs,
} from '../../../dashboard/server/notify/house-time.js';
import { headerProblems } from '../../../dashboard/server/notify/webhook-post.js';
import { filledTemplate, PLACEHOLDERS, templateProblems } from '../../../dashboard/server/notify/webhook-template.js';

type Priority = 'high' | 'medium' | 'low';
const MINUTE_MS = 60_000;

function callees(count: number, rung: ReadonlySet<number>, unreachable: readonly number[] = []): Callee[] {
  return Array.from({ length: count }, (_, place) => ({
    wasRung: rung.has(place),
    isUnreachable: unreachable.includes(place),
  }));
}

/** Every ringing of the first minutes, as "minute: places", when each round is taken in time. */
function ringings(priority: Priority, peopleCount: number, minutes: number, pace = USUAL_PACE): string[] {
  const startMs = 1_000_000;
  const told: string[] = [];
  const rung = new Set<number>();
  let before: RoundBefore = { startedAtMs: null, lastRoundAtMs: null };
  for (let atMs: number | null = startMs; atMs !== null && atMs <= startMs + minutes * MINUTE_MS;) {
    const round = roundAt(priority, pace, callees(peopleCount, rung), before, atMs);
    if (round.people.length > 0) told.push(`${String((atMs - startMs) / MINUTE_MS)}: ${round.people.join(' ')}`);
    for (const place of round.people) rung.add(place);
    before = { startedAtMs: startMs, lastRoundAtMs: atMs };
    atMs = round.nextAtMs;
  }
  return told;
}

const RUNG_AT_0: RoundBefore = { startedAtMs: 0, lastRoundAtMs: 0 };
const FIRST: ReadonlySet<number> = new Set([0]);

describe('who is rung when nobody acknowledges', () => {
  it('rings high again and again, and the next person after ten minutes, until somebody acknowledges', () => {
    expect(ringings('high', 2, 25)).toEqual(['0: 0', '5: 0', '10: 0 1', '15: 0 1', '20: 0 1', '25: 0 1']);
    expect(ringings('high', 1, 24 * 60)).toHaveLength(1 + (24 * 60) / 5);
  });

  it('rings medium twice at each person and then once an hour, and low once at everybody who wants it', () => {
    expect(ringings('medium', 2, 135)).toEqual([
      '0: 0',
      '5: 0',
      '10: 1',
      '15: 1',
      '65: 0',
      '75: 1',
      '125: 0',
      '135: 1',
    ]);
    expect(ringings('medium', 1, 24 * 60)).toHaveLength(2 + 23);
    expect(ringings('low', 3, 600)).toEqual(['0: 0 1 2']);
  });

  it('keeps to another pace', () => {
    const pace = { againAfterMinutes: 3, nextPersonAfterMinutes: 4 };
    expect(ringings('high', 2, 8, pace)).toEqual(['0: 0', '3: 0', '4: 1', '6: 0', '7: 1']);
  });

  it('rings everybody whose turn came while the dashboard was down, once', () => {
    expect(roundAt('high', USUAL_PACE, callees(3, FIRST), RUNG_AT_0, 47 * MINUTE_MS)).toEqual({
      people: [0, 1, 2],
      turns: [0, 1, 2],
      nextAtMs: 50 * MINUTE_MS,
    });
  });

  it('takes the next person at once when nobody before could be reached', () => {
    const round = roundAt('high', USUAL_PACE, callees(3, FIRST, [0]), RUNG_AT_0, 7000);
    expect(round.people).toEqual([1]);
    expect(round.nextAtMs).toBe(5 * MINUTE_MS);
    const both = callees(3, new Set([0, 1]), [0, 1]);
    expect(roundAt('high', USUAL_PACE, both, { startedAtMs: 0, lastRoundAtMs: 7000 }, 14_000).people).toEqual([2]);
  });

  it.each(['high', 'medium', 'low'] as const)(
    'takes whoever moved up in the order for one who was not rung: %s',
    (priority) => {
      expect(roundAt(priority, USUAL_PACE, callees(1, new Set()), RUNG_AT_0, MINUTE_MS).people).toEqual([0]);
    },
  );

  it('rings nobody between two turns, whatever woke it', () => {
    const round = roundAt('high', USUAL_PACE, callees(2, FIRST), RUNG_AT_0, 2 * MINUTE_MS);
    // News would be told to whose turn has come.
    expect(round).toEqual({ people: [], turns: [0], nextAtMs: 5 * MINUTE_MS });
  });

  it('always goes on with high and medium, and always forwards in time', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('high' as const, 'medium' as const),
        fc.integer({ min: 1, max: 6 }),
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 0, max: 10_000 }),
        fc.array(fc.integer({ min: 0, max: 5 })),
        (priority, peopleCount, againAfterMinutes, nextPersonAfterMinutes, minutes, unreachable) => {
          const nowMs = minutes * MINUTE_MS;
          const pace = { againAfterMinutes, nextPersonAfterMinutes };
          const { nextAtMs } = roundAt(priority, pace, callees(peopleCount, FIRST, unreachable), RUNG_AT_0, nowMs);
          expect(nextAtMs).toBeGreaterThan(nowMs);
          expect(nextAtMs).toBeLessThanOrEqual(nowMs + (priority === 'high' ? againAfterMinutes : 60) * MINUTE_MS);
        },
      ),
    );
  });
});

describe('hours in the house', () => {
  it('count in its zone, daylight saving included', () => {
    expect(minuteOfDay(Date.UTC(2026, 6, 1, 0, 30), 'Europe/Berlin')).toBe(150);
    expect(minuteOfDay(Date.UTC(2026, 0, 1, 0, 30), 'Europe/Berlin')).toBe(90);
    expect(minuteOfDay(Date.UTC(2026, 0, 1, 0, 0), 'Asia/Kolkata')).toBe(330);
    expect(minuteOfDay(Date.UTC(2026, 0, 1, 0, 0), 'UTC')).toBe(0);
    expect(localDay(Date.UTC(2026, 6, 1, 23, 30), 'Europe/Berlin')).toBe('2026-07-02');
    expect(localTime(Date.UTC(2026, 6, 1, 0, 30), 'Europe/Berlin')).toBe('02:30');
    // 2026-03-29, 01:00 UTC: the clock goes from 02:00 to 03:00 (EU directive 2000/84/EC).
    expect(minuteOfDay(Date.UTC(2026, 2, 29, 0, 59), 'Europe/Berlin')).toBe(119);
    expect(minuteOfDay(Date.UTC(2026, 2, 29, 1, 0), 'Europe/Berlin')).toBe(180);
  });

  it.each([
    [22 * 60, 7 * 60, 23 * 60, true],
    [22 * 60, 7 * 60, 22 * 60, true],
    [22 * 60, 7 * 60, 0, true],
    [22 * 60, 7 * 60, 7 * 60 - 1, true],
    [22 * 60, 7 * 60, 7 * 60, false],
    [22 * 60, 7 * 60, 12 * 60, false],
    [8 * 60, 22 * 60, 8 * 60, true],
    [8 * 60, 22 * 60, 22 * 60, false],
    [8 * 60, 22 * 60, 3 * 60, false],
  ])('from %i to %i hold at %i: %s', (from, to, minute, isWithin) => {
    expect(isWithinHours(minute, from, to)).toBe(isWithin);
  });

  it('of nobody in particular are all hours', () => {
    expect(isWithinHours(180, null, null)).toBe(true);
  });

  it('wait over midnight', () => {
    expect(minutesUntil(23 * 60, 7 * 60)).toBe(480);
    expect(minutesUntil(420, 420)).toBe(0);
  });

  // EU directive 2000/84/EC: in Berlin from 02:00 to 03:00 on 2026-03-29, from 03:00 to 02:00 on 2026-10-25.
  it.each([
    ['begin as the clock shows them though it was set forward', '2026-03-29T00:10Z', 8 * 60, '2026-03-29T06:00Z'],
    ['begin as the clock shows them though it was set back', '2026-10-25T00:10Z', 8 * 60, '2026-10-25T07:00Z'],
    ['begin in an ordinary night', '2026-03-28T00:10Z', 8 * 60, '2026-03-28T07:00Z'],
    ['that begin at a time which is leapt over begin after it', '2026-03-29T00:10Z', 2 * 60 + 30, '2026-03-29T01:30Z'],
    ['begin now', '2026-10-25T07:00Z', 8 * 60, '2026-10-25T07:00Z'],
  ])('%s', (_what, now, fromMinute, begins) => {
    expect(new Date(dutyBeginsMs({ fromMinute }, Date.parse(now), 'Europe/Berlin'))).toEqual(new Date(begins));
  });

  it('know zones by their names only', () => {
    expect(isTimeZone('Europe/Berlin')).toBe(true);
    for (const name of ['', 'Berlin', 'the kitchen']) expect(isTimeZone(name)).toBe(false);
  });
});

describe('the words of a call', () => {
  const trip = { bathName: 'Copper 60 L', title: 'Tripped', detail: 'emergency stop', checkFirst: 'Find the cause.' };
  const stall = {
    bathName: 'Copper 60 L',
    title: 'Rotation stopped',
    detail: 'no pulse for 23 s',
    checkFirst: 'Motor.',
  };

  it('say bath and alarm first, then what was seen, then what to do', () => {
    expect(alarmCallWords([trip], undefined)).toEqual({
      title: 'Copper 60 L: Tripped',
      message: 'Find the cause. Seen: emergency stop.',
    });
  });

  it('list the others, with their bath where it is another one', () => {
    expect(alarmCallWords([trip, stall], undefined)).toEqual({
      title: 'Copper 60 L: Tripped, and 1 more',
      message: 'Find the cause. Seen: emergency stop. Also: Rotation stopped (no pulse for 23 s).',
    });
    expect(alarmCallWords([trip, { ...stall, bathName: 'Nickel' }], undefined).message).toContain(
      'Also: Nickel: Rotation stopped (no pulse for 23 s).',
    );
  });

  it('of a flood list eight and count the rest', () => {
    const { title, message } = alarmCallWords([trip, ...new Array<typeof stall>(20).fill(stall)], undefined);
    expect(title).toContain('and 20 more');
    expect(message.match(/Rotation stopped/g)).toHaveLength(8);
    expect(message).toContain('and 12 more on the page.');
  });

  it('say for how long nobody acknowledged', () => {
    expect(alarmCallWords([trip], 5).message).toBe(
      'Find the cause. Seen: emergency stop. Nobody has acknowledged for 5 minutes.',
    );
    expect(alarmCallWords([trip], 1).message).toContain('for 1 minute.');
  });

  it('take the highest priority of several', () => {
    expect(highestPriority(['low', 'high', 'medium'])).toBe('high');
    expect(highestPriority(['low', 'medium'])).toBe('medium');
  });
});

describe('a template', () => {
  const payload = {
    id: 'a-1',
    call: 'a',
    kind: 'alarm',
    title: 'Copper "60 L"',
    message: 'one\ntwo \\ three & four',
    priority: 'high',
    alarm: 'trip',
    controller: 'north-bench',
    raisedAt: '2026-01-10T20:00:00.000Z',
    contact: 'Owner',
  } as const;

  it('is filled in for JSON, for a form and for plain text, each with its own escapes', () => {
    const json = filledTemplate('{"text":"{{ title }}: {{message}}","p":"{{url}}"}', 'application/json', payload);
    expect(JSON.parse(json)).toEqual({ text: 'Copper "60 L": one\ntwo \\ three & four', p: '' });
    expect(filledTemplate('t={{title}}&m={{message}}', 'application/x-www-form-urlencoded', payload)).toBe(
      't=Copper%20%2260%20L%22&m=one%0Atwo%20%5C%20three%20%26%20four',
    );
    expect(filledTemplate('{{title}}\n{{message}}', 'text/plain; charset=utf-8', { ...payload, title: 'a\r\nb' })).toBe(
      'a \nb\none\ntwo \\ three & four',
    );
  });

  it('stays valid JSON with the same meaning whatever the words are', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (title) => {
        const filled = filledTemplate('{"a":"{{title}}","b":1}', 'application/json', { ...payload, title });
        expect(JSON.parse(filled)).toEqual({ a: title, b: 1 });
      }),
    );
  });

  it('does not fill in what only the words hold', () => {
    const filled = filledTemplate('{"a":"{{title}}"}', 'application/json', { ...payload, title: '{{message}}' });
    expect(JSON.parse(filled)).toEqual({ a: '{{message}}' });
  });

  it('is refused with a name that does not exist, as JSON that is none, and for a type that cannot be escaped', () => {
    expect(templateProblems('{"a":"{{titel}}"}', 'application/json')[0]).toContain(
      'there is no {{titel}}. There are: id,',
    );
    expect(templateProblems('{"a":{{title}}}', 'application/json')[0]).toContain('it is no JSON');
    expect(templateProblems('<a>{{title}}</a>', 'text/xml')[0]).toContain('got "text/xml"');
    expect(templateProblems('', 'application/json')).toEqual([]);
    for (const name of PLACEHOLDERS) expect(templateProblems(`{"a":"{{${name}}}"}`, 'application/json')).toEqual([]);
  });

  it('sends headers of the owner, but none that belong to the connection or could begin another', () => {
    expect(headerProblems([{ name: 'Authorization', value: 'Bearer x' }])).toEqual([]);
    expect(headerProblems([{ name: 'Host', value: 'x' }])[0]).toContain('the connection sets it');
    expect(headerProblems([{ name: 'a b', value: 'x' }])[0]).toContain('no name of a header');
    const [problem] = headerProblems([{ name: 'x-key', value: 'secret\r\nhost: elsewhere' }]);
    expect(problem).toContain('"x-key" holds a character');
    expect(problem).not.toContain('secret');
  });
});

describe('the token of a link', () => {
  const key = Buffer.alloc(32, 7);

  it('is the same for the same delivery, and names it', () => {
    const token = acknowledgeToken(key, 12);
    expect(acknowledgeToken(key, 12)).toBe(token);
    expect(deliveryOfToken(key, token)).toBe(12);
  });

  it('is refused for another delivery, under another key, changed in any one place, or cut off', () => {
    const token = acknowledgeToken(key, 12);
    expect(deliveryOfToken(key, token.replace('12-', '13-'))).toBeUndefined();
    expect(deliveryOfToken(Buffer.alloc(32, 8), token)).toBeUndefined();
    expect(deliveryOfToken(key, token.slice(0, -1))).toBeUndefined();
    for (let place = 0; place < token.length; place++) {
      const other = token[place] === 'A' ? 'B' : 'A';
      expect(deliveryOfToken(key, token.slice(0, place) + other + token.slice(place + 1))).toBeUndefined();
    }
  });
});
