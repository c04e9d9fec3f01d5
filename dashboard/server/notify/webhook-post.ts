/*
 * One POST to the owner's webhook: with a time-out, no blind redirects, and to a private address only when the owner allowed it.
 * Called by the call queue and by the test button. Answers in words; never throws, never logs the address.
 */
import { lookup } from 'node:dns/promises';
import { request as httpRequest } from 'node:http';
import { request as httpsRequest } from 'node:https';
import { BlockList, isIP } from 'node:net';

export interface WebhookTarget {
  readonly address: string;
  readonly allowPrivateAddress: boolean;
}
export interface PostOutcome {
  readonly delivered: boolean;
  readonly words: string;
}
export const WEBHOOK_TIMEOUT_MS = 10_000;

// IANA special-purpose address registries (RFC 6890 and its updates).
const privateAddresses = new BlockList();
for (const [net, bits] of [
  ['0.0.0.0', 8], ['10.0.0.0', 8], ['100.64.0.0', 10], ['127.0.0.0', 8], ['169.254.0.0', 16], ['172.16.0.0', 12],
  ['192.0.0.0', 24], ['192.168.0.0', 16], ['198.18.0.0', 15], ['224.0.0.0', 4], ['240.0.0.0', 4],
] as const) privateAddresses.addSubnet(net, bits, 'ipv4'); // prettier-ignore
for (const [net, bits] of [
  ['::', 128],
  ['::1', 128],
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

/** The address as it may be shown: no path, no query, no user. */
export function shownAddress(address: string): string {
  const url = new URL(address);
  return `${url.protocol}//${url.host}/…`;
}

export async function postToWebhook(
  target: WebhookTarget,
  body: string,
  timeoutMs = WEBHOOK_TIMEOUT_MS,
): Promise<PostOutcome> {
  const problem = webhookAddressProblem(target.address);
  if (problem !== undefined) return { delivered: false, words: problem };
  const url = new URL(target.address);
  const host = url.hostname.replace(/^\[|\]$/g, '');
  let address: string;
  try {
    address = isIP(host) ? host : (await lookup(host)).address;
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
  const startedMs = performance.now();
  return new Promise((resolve) => {
    const answer = (delivered: boolean, words: string): void => {
      clearTimeout(timer);
      resolve({ delivered, words });
      call.destroy();
    };
    const call = (url.protocol === 'https:' ? httpsRequest : httpRequest)(
      url,
      {
        method: 'POST',
        headers: {
          'content-type': 'application/json',
          'content-length': Buffer.byteLength(body),
          'user-agent': 'Bathkeeper',
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
        if (status >= 200 && status < 300) answer(true, `Answered ${String(status)} after ${String(tookMs)} ms.`);
        else if (status >= 300 && status < 400)
          answer(false, `The receiver redirects (${String(status)}). Enter the address that it redirects to.`);
        else answer(false, `The receiver answered ${String(status)} after ${String(tookMs)} ms.`);
      },
    );
    const timer = setTimeout(() => {
      answer(false, `No answer within ${String(timeoutMs / 1000)} s.`);
    }, timeoutMs);
    call.on('error', (fault: NodeJS.ErrnoException) => {
      answer(false, `The receiver cannot be reached (${fault.code ?? fault.message}).`);
    });
    call.end(body);
  });
}
