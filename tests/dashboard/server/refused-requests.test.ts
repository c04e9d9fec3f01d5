/*
 * Every field of every request is spoiled in turn, over real HTTP: what is refused says what, what was expected, what came and what to do, in words; never in those of the
 * validator. A route that is new and has no good request here fails.
 */
import type { Express } from 'express';
import { describe, expect, it } from 'vitest';
import { checkedSecret, type Refused } from '../../../dashboard/server/http/refusal.js';
import { firstStartRequest, sessionRequest } from '../../../dashboard/server/http/requests.js';
import { aNight } from './logbook/a-night.js';
import type { Answer } from './page-on-trial.js';
import { goodQueries, goodRequests, wordless } from './refused-requests.js';

/** Words that zod 4 begins its own messages with (read off its sources). */
const VALIDATORS =
  /Too small|Too big|Invalid|Unrecognized|expected (string|number|object|array|boolean|int|nan)\b|>=|<=|undefined|\[object|NaN/i;
const TELLS_WHAT_TO_DO =
  /\b(correct|send|load|look|choose|enter|write|weigh|undo|wait|give|add|aim|take|shorten|subscribe|say|put|press|remove|check|expected|paired)\b/i;
const RATE_LIMITED = 429;

const spoilt: readonly unknown[] = [undefined, null, '', 'x'.repeat(12_000), 'no such thing', -1, 0.5, 1e300, true, [], {}, new Array(101).fill({})]; // prettier-ignore

/** Copies of a request, each with one field spoiled, and one with a field too many in each object of it. */
function* spoiltCopies(value: unknown): Generator<unknown> {
  yield* spoilt;
  if (typeof value !== 'object' || value === null) return;
  if (Array.isArray(value)) {
    for (const [place, one] of value.entries())
      for (const other of spoiltCopies(one)) yield value.map((each, at) => (at === place ? other : (each as unknown)));
    return;
  }
  yield { ...value, unheardOf: 1 };
  for (const [name, one] of Object.entries(value))
    for (const other of spoiltCopies(one)) yield { ...value, [name]: other };
}

interface Layer {
  readonly route?: { readonly path: string; readonly stack: readonly { readonly method: string }[] };
  readonly handle: { readonly stack?: readonly Layer[] };
}
const routesIn = (layers: readonly Layer[]): string[] =>
  layers.flatMap(({ route, handle }) =>
    route === undefined
      ? routesIn(handle.stack ?? [])
      : [...new Set(route.stack.map(({ method }) => `${method.toUpperCase()} ${route.path}`))],
  );

/** What is wrong with the words of an answer that refuses. */
function faultsOf({ status, body }: Answer): string[] {
  if (status < 400 || status === RATE_LIMITED) return [];
  const { error = '', problems = [] } = body;
  const all = [error, ...problems];
  return [
    ...(status >= 500 ? [`answered with ${String(status)}`] : []),
    ...all.filter((words) => VALIDATORS.test(words) || !/[.?]$/.test(words)),
    ...problems.filter((words) => status === 400 && !/expected|ha(s|ve) to be/.test(words)),
    ...problems.filter((words) => /^[\w.]+: expected/.test(words) && !/, got /.test(words)),
    ...(TELLS_WHAT_TO_DO.test(all.join(' ')) ? [] : [`says nothing to do: ${error}`]),
  ];
}

const asQuery = (fields: object): string =>
  new URLSearchParams(
    Object.entries(fields).flatMap(([name, one]) => (typeof one === 'string' ? [[name, one]] : [])),
  ).toString();

describe('every request', () => {
  it('of the application has a good one here', async () => {
    const { page } = await aNight();
    const routes = routesIn((page.app as Express & { router: { stack: Layer[] } }).router.stack);
    expect(routes.length).toBeGreaterThan(60);
    const known = [...Object.keys(goodRequests), ...Object.keys(goodQueries), ...wordless];
    expect(routes.filter((route) => /^(POST|PUT|PATCH) /.test(route) && !known.includes(route))).toEqual([]);
    expect(known.filter((route) => !routes.includes(route))).toEqual([]);
  });

  it.each(Object.entries(goodRequests))('%s: whatever is spoiled in it, is refused in words', async (route, requests) => {
    const { page, session } = await aNight();
    await page.ask('POST', '/api/contacts', goodRequests['POST /contacts']![0]!.body, session);
    await page.ask('POST', '/api/baths', { name: 'Copper 60 L', profile: 'bright-copper', who: 'Kim' }, session);
    const [method] = route.split(' ') as [string];
    for (const { path, body } of requests) {
      let refused = 0;
      for (const one of spoiltCopies(body)) {
        const answer = await page.ask(method, path, one === undefined ? '{' : one, session);
        if (answer.status >= 400) refused++;
        if (one === undefined && answer.status !== RATE_LIMITED)
          expect(answer.body.error).toBe(
            'The request cannot be read: expected JSON, got something else. Load the page anew, and send it again.',
          );
        expect(faultsOf(answer), `${path} ${JSON.stringify(one)?.slice(0, 300)}: ${JSON.stringify(answer.body)}`).toEqual([]);
      }
      expect(refused, path).toBeGreaterThan(10);
    }
  }, 60_000); // prettier-ignore

  it.each(Object.entries(goodQueries))('%s: whatever is spoiled in its query, is refused in words', async (route, { path, body }) => {
    const { page, session } = await aNight();
    const [method] = route.split(' ') as [string];
    for (const one of [{ unheardOf: '1' }, ...spoiltCopies(body)].filter((each) => typeof each === 'object' && each !== null && !Array.isArray(each))) {
      const headers = { ...session, ...(method === 'POST' ? { 'content-type': 'application/octet-stream' } : {}) };
      const query = asQuery(one as object).slice(0, 12_000);
      const answer = await page.ask(method, `${path}?${query}`, method === 'POST' ? 'x' : undefined, headers);
      expect(faultsOf(answer), `${path}?${query.slice(0, 300)}: ${JSON.stringify(answer.body)}`).toEqual([]);
    }
  }, 60_000); // prettier-ignore

  it.each([
    [firstStartRequest, { token: 'T0ken', passphrase: 'secret words' }],
    [sessionRequest, { passphrase: 'secret words' }],
  ] as const)('at the door is refused in words that repeat no secret: %#', (schema, good) => {
    for (const one of spoiltCopies(good)) {
      let problems: readonly string[] = [];
      try {
        checkedSecret(schema, one);
      } catch (fault) {
        problems = (fault as Refused).problems;
      }
      for (const words of problems) {
        expect(words).toMatch(/: expected .*, got .*\.$/);
        expect(words).not.toMatch(VALIDATORS);
        expect(words).not.toMatch(/no such thing|xxx|secret words/);
      }
    }
  });
});
