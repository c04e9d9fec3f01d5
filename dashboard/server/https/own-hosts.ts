/*
 * Every name and address under which a browser in the house may reach this computer, and that lasts: for the server's certificate.
 * Called by main.ts. Passing addresses (link-local and temporary IPv6) are left out: nobody types them.
 */
import { hostname, networkInterfaces, type NetworkInterfaceInfo } from 'node:os';

const HOST_NAME = /^[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*$/;
/** RFC 4193. */
const UNIQUE_LOCAL = /^f[cd]/i;

/** Example: a computer named `Bench` at 192.168.1.20 answers `localhost`, `bench`, `bench.local`, `127.0.0.1`, `::1`, `192.168.1.20` and what was given. */
export function ownHosts(
  given: readonly string[],
  computerName: string = hostname(),
  interfaces: Readonly<Record<string, NetworkInterfaceInfo[] | undefined>> = networkInterfaces(),
): string[] {
  const name = computerName.toLowerCase();
  const bare = name.split('.')[0]!;
  const names = HOST_NAME.test(name) && name !== 'localhost' ? [name, bare, `${bare}.local`] : [];
  const addresses = Object.values(interfaces)
    .flatMap((list) => list ?? [])
    .filter((one) => !one.internal && (one.family === 'IPv4' || UNIQUE_LOCAL.test(one.address)))
    .map((one) => one.address);
  return [...new Set(['localhost', ...names, '127.0.0.1', '::1', ...addresses, ...given])];
}
