/*
 * Keeps the page's own files for the hour in which the dashboard cannot be reached. Called by the service worker at its installation and
 * at each asking. The network always comes first for the page itself; files whose names change with their contents are taken from the store.
 * Nothing under /api, nothing that is not read only, nothing from elsewhere is kept or answered.
 */

const STORE = 'bathkeeper-page';
/** Away from home a network may swallow every word without a refusal: after this long the kept page stands in, and says what it does not know. */
const NETWORK_MS = 5_000;

/** Files that the page names: scripts, sheets, icons, its manifest. */
export function filesNamedIn(html: string): string[] {
  const named = [...html.matchAll(/(?:src|href)="([^"]+)"/g)].map(([, name]) => name!);
  return [...new Set(named.filter((name) => !/^(?:[a-z]+:|\/\/|#)/i.test(name)))];
}

export async function keepPage(root: URL): Promise<void> {
  const answer = await fetch(root, { cache: 'no-cache', credentials: 'same-origin' });
  if (answer.ok) await keep(root, answer);
}

/** The page and everything that it names; what an older page named goes. */
async function keep(root: URL, page: Response): Promise<void> {
  const html = await page.clone().text();
  const files = filesNamedIn(html).map((name) => new URL(name, root).href);
  const store = await caches.open(STORE);
  const missing: string[] = [];
  for (const file of files) if ((await store.match(file)) === undefined) missing.push(file);
  // All or nothing: a page whose script is missing is worse than none.
  await store.addAll(missing);
  await store.put(root.href, page);
  const wanted = new Set([root.href, ...files]);
  for (const request of await store.keys()) if (!wanted.has(request.url)) await store.delete(request);
}

/** The answer to an asking, or null: it goes to the network as if nothing stood between. */
export function keptPage(
  request: Request,
  origin: string,
  later: (work: Promise<unknown>) => void,
): Promise<Response> | null {
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== origin) return null;
  const root = new URL('/', origin);
  if (request.mode === 'navigate') {
    // Only the page itself: /trust, and the page with a button that a mail leads to, are the dashboard's own.
    if (url.pathname !== '/') return null;
    return networkFirst(request, root, later);
  }
  return url.pathname.startsWith('/assets/')
    ? storeFirst(request)
    : isOwnFile(url.pathname)
      ? storeAfterNetwork(request)
      : null;
}

const isOwnFile = (path: string): boolean => /^\/(?:manifest\.webmanifest|[a-z]+-\d+\.png|[a-z-]+\.svg)$/.test(path);

async function networkFirst(request: Request, root: URL, later: (work: Promise<unknown>) => void): Promise<Response> {
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(NETWORK_MS) });
    if (answer.ok) {
      // Failing to keep it costs nothing now: the page is there.
      later(keep(root, answer.clone()).catch(() => undefined));
    }
    return answer;
  } catch (fault) {
    const kept = await (await caches.open(STORE)).match(root.href);
    if (kept === undefined) throw fault;
    return kept;
  }
}

async function storeFirst(request: Request): Promise<Response> {
  return (await (await caches.open(STORE)).match(request.url)) ?? fetch(request);
}

async function storeAfterNetwork(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (fault) {
    const kept = await (await caches.open(STORE)).match(request.url);
    if (kept === undefined) throw fault;
    return kept;
  }
}
