/*
 * One POST to an address that the owner chose: with a time-out, no redirects, and to a private address only when the owner allowed it.
 * Called for webhooks, push services and the test buttons. Answers in words; never throws, never logs the address.
 */
import { lookup } from 'node:dns/promises';
import { request as httpRequest } from 'node:http';
import { request as httpsRequest } from 'node:https';
import { BlockList, isIP } from 'node:net';

export interface WebhookTarget {
  readonly address: string;
  readonly allowPrivateAddress: boolean;
  /** Absent: application/json. */
  readonly contentType?: string;
  readonly headers?: readonly { readonly name: string; readonly value: string }[];
}
export interface PostOutcome {
  readonly delivered: boolean;
  readonly words: string;
  /** What was answered; absent: nothing was. */
  readonly status?: number;
}
export const WEBHOOK_TIMEOUT_MS = 10_000;

// IANA special-purpose address registries (RFC 6890 and its updates).
const privateAddresses = new BlockList();
for (const [net, bits] of [
  ['0.0.0.0', 8], ['10.0.0.0', 8], ['100.64.0.0', 10], ['127.0.0.0', 8], ['169.254.0.0', 16], ['172.16.0.0', 12],
  ['192.0.0.0', 24], ['192.0.2.0', 24], ['192.168.0.0', 16], ['198.18.0.0', 15], ['198.51.100.0', 24],
  ['203.0.113.0', 24], ['224.0.0.0', 4], ['240.0.0.0', 4],
] as const) privateAddresses.addSubnet(net, bits, 'ipv4'); // prettier-ignore
for (const [net, bits] of [
  ['::', 128],
  ['::1', 128],
  // Translated addresses (RFC 6052, RFC 8215) can name an IPv4 address of the local network.
  ['64:ff9b::', 96],
  ['64:ff9b:1::', 48],
  // So can tunnels (RFC 4380, RFC 3056); what is for discarding and for examples leads nowhere.
  ['100::', 64],
  ['2001::', 32],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['fc00::', 7],
  ['fe80::', 10],
  ['ff00::', 8],
] as const)
  privateAddresses.addSubnet(net, bits, 'ipv6');

export function isPrivateAddress(address: string): boolean {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address);
  const plain = mapped?.[1] ?? address;
  return privateAddresses.check(plain, isIP(plain) === 6 ? 'ipv6' : 'ipv4');
}

/** Why the address cannot be a webhook, in a whole sentence, or undefined. */
export function webhookAddressProblem(address: string): string | undefined {
  let url: URL;
  try {
    url = new URL(address);
    // The request itself would throw on a user or password that cannot be read.
    decodeURIComponent(url.username + url.password);
  } catch {
    return 'The webhook address is not an address: expected something like https://example.org/hook.';
  }
  if (url.protocol !== 'http:' && url.protocol !== 'https:')
    return `The webhook address begins with ${url.protocol}, expected http: or https:.`;
  return undefined;
}

/** These belong to the connection, not to the owner. */
const TAKEN_HEADERS = new Set(['host', 'content-length', 'content-type', 'transfer-encoding', 'connection', 'expect', 'upgrade', 'te', 'trailer', 'keep-alive']); // prettier-ignore

/** Everything that is wrong with headers of the owner's own, each a whole sentence; a value is never repeated, since it may be secret. */
export function headerProblems(headers: NonNullable<WebhookTarget['headers']>): string[] {
  return headers.flatMap(({ name, value }) => [
    // RFC 9110, 5.1 (token) and 5.5 (field value).
    ...(/^[!#$%&'*+.^_`|~0-9A-Za-z-]+$/.test(name)
      ? []
      : [`headers: "${name}" is no name of a header. Expected letters, digits and hyphens, such as Authorization.`]),
    ...(TAKEN_HEADERS.has(name.toLowerCase())
      ? [`headers: "${name}" cannot be chosen, the connection sets it. Leave it out.`]
      : []),
    ...(/^[\t\x20-\x7e]*$/.test(value)
      ? []
      : [
          `headers: the value of "${name}" holds a character that no header may hold (a line break, a letter outside ASCII).`,
        ]),
  ]);
}

/** The address as it may be shown: no path, no query, no user. */
export function shownAddress(address: string): string {
  const url = new URL(address);
  return `${url.protocol}//${url.host}/…`;
}

export async function postToWebhook(
  target: WebhookTarget,
  body: string | Buffer,
  timeoutMs = WEBHOOK_TIMEOUT_MS,
): Promise<PostOutcome> {
  const problem = webhookAddressProblem(target.address);
  if (problem !== undefined) return { delivered: false, words: problem };
  const startedMs = performance.now();
  const url = new URL(target.address);
  const host = url.hostname.replace(/^\[|\]$/g, '');
  const late: PostOutcome = { delivered: false, words: `No answer within ${String(timeoutMs / 1000)} s.` };
  let address: string;
  try {
    // A name server that does not answer takes as long as it likes: that counts too.
    const found = isIP(host) ? host : await within(timeoutMs, lookup(host));
    if (found === undefined) return late;
    address = typeof found === 'string' ? found : found.address;
  } catch {
    return {
      delivered: false,
      words: `The name ${host} is not known. Check the address and this computer's internet.`,
    };
  }
  if (!target.allowPrivateAddress && isPrivateAddress(address)) {
    return {
      delivered: false,
      words: `${host} is an address on this computer or the local network. Allow that in the settings if it is meant.`,
    };
  }
  return new Promise((resolve) => {
    const answer = (outcome: PostOutcome): void => {
      clearTimeout(timer);
      resolve(outcome);
      call.destroy();
    };
    const call = (url.protocol === 'https:' ? httpsRequest : httpRequest)(
      url,
      {
        method: 'POST',
        headers: {
          'content-type': target.contentType ?? 'application/json',
          'content-length': Buffer.byteLength(body),
          'user-agent': 'Bathkeeper',
          ...Object.fromEntries((target.headers ?? []).map(({ name, value }) => [name.toLowerCase(), value])),
        },
        // The address that was checked is the one that is dialled.
        lookup: (_name, options, done) => {
          const family = isIP(address);
          if (options.all)
            (done as (e: null, a: { address: string; family: number }[]) => void)(null, [{ address, family }]);
          else done(null, address, family);
        },
      },
      (response) => {
        const status = response.statusCode ?? 0;
        const tookMs = Math.round(performance.now() - startedMs);
        response.resume();
        if (status >= 200 && status < 300)
          answer({ delivered: true, words: `Answered ${String(status)} after ${String(tookMs)} ms.`, status });
        else if (status >= 300 && status < 400)
          answer({
            delivered: false,
            words: `The receiver redirects (${String(status)}). Enter the address that it redirects to.`,
            status,
          });
        else
          answer({
            delivered: false,
            words: `The receiver answered ${String(status)} after ${String(tookMs)} ms.`,
            status,
          });
      },
    );
    const timer = setTimeout(
      () => {
        answer(late);
      },
      Math.max(1, timeoutMs - (performance.now() - startedMs)),
    );
    call.on('error', (fault: NodeJS.ErrnoException) => {
      answer({ delivered: false, words: `The receiver cannot be reached (${fault.code ?? fault.message}).` });
    });
    call.end(body);
  });
}

/** Undefined: it took longer. */
async function within<T>(timeoutMs: number, work: Promise<T>): Promise<T | undefined> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<undefined>((resolve) => {
    timer = setTimeout(() => {
      resolve(undefined);
    }, timeoutMs);
  });
  try {
    return await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}
