/*
 * Settings of the program from command line and environment, checked before anything starts: every fault is listed at once.
 */
import { isIP } from 'node:net';
import { RECORDS_KEPT_DAYS } from '../keeping/record-ageing.js';
import { usualDataFolder } from './typed-folder.js';

export interface Settings {
  readonly port: number;
  readonly host: string;
  readonly mqttPort: number;
  readonly mqttHost: string;
  readonly dataFolder: string;
  /** Raw records, one a second, are kept for so long; their minutes for ever. */
  readonly recordsKeptDays: number;
  /** Where the page's backups go; undefined: the folder `backups` in the data folder. */
  readonly backupsFolder: string | undefined;
  readonly speed: number;
  readonly virtualBath: boolean;
  readonly https: HttpsSettings;
  /** Further names of this computer, for the home authority's certificate. */
  readonly names: readonly string[];
  /** Addresses or networks of reverse proxies whose word on the visitor's address and on https counts. */
  readonly trustedProxies: readonly string[];
  /** The page's address for people, with a slash at its end; undefined: found by itself. */
  readonly pageAddress: string | undefined;
  readonly help: boolean;
}

export type HttpsSettings =
  | { readonly kind: 'off' }
  | { readonly kind: 'home'; readonly port: number }
  | { readonly kind: 'own'; readonly port: number; readonly certificate: string; readonly key: string };

export const helpText = `npm start -- [options]            (or the environment variable)

  --port N          port of the page, 4180; the next free one when taken   BATHKEEPER_PORT
  --host ADDRESS    where the page listens, 0.0.0.0                        BATHKEEPER_HOST
  --mqtt-port N     port for controllers, 1883; the next free one          BATHKEEPER_MQTT_PORT
  --mqtt-host ADDR  where controllers connect, 0.0.0.0                     BATHKEEPER_MQTT_HOST
  --data FOLDER     where the data lies, ~/.local/share/bathkeeper         BATHKEEPER_DATA
  --keep-records N  days for which each second is kept, 90; its minutes    BATHKEEPER_KEEP_RECORDS
                    stay for ever
  --backups FOLDER  where the page's backups go, a folder that exists;      BATHKEEPER_BACKUPS
                    without it: backups in the data folder
  --speed N         a virtual bath N times faster than real time, 1 to 600 BATHKEEPER_SPEED
  --https home      https by a small authority made here; /trust says how  BATHKEEPER_HTTPS=home
                    a phone comes to trust it
  --certificate FILE, --certificate-key FILE                               BATHKEEPER_CERTIFICATE,
                    https by your own certificate, both as PEM             BATHKEEPER_CERTIFICATE_KEY
  --https-port N    port of the page over https, 4443                      BATHKEEPER_HTTPS_PORT
  --name NAMES      further names of this computer, with commas between    BATHKEEPER_NAME
  --trusted-proxy ADDRESSES  reverse proxies whose word counts: addresses, BATHKEEPER_TRUSTED_PROXY
                    networks (10.0.0.0/8) or loopback, with commas between
  --page-address URL  what links in calls lead to, where it is not found   BATHKEEPER_PAGE_ADDRESS
                    by itself (behind a reverse proxy)
  --no-virtual-bath never start a virtual bath                             BATHKEEPER_NO_VIRTUAL_BATH=1
  --help            this text`;

/** The settings, or everything that is wrong with them, each a whole sentence. */
export function settingsFrom(
  args: readonly string[],
  environment: Readonly<Record<string, string | undefined>>,
): Settings | string[] {
  const problems: string[] = [];
  const given = new Map<string, string>();
  const valued = new Set([
    'port', 'host', 'mqtt-port', 'mqtt-host', 'data', 'keep-records', 'backups', 'speed',
    'https', 'certificate', 'certificate-key', 'https-port', 'name', 'trusted-proxy', 'page-address',
  ]); // prettier-ignore
  for (let index = 0; index < args.length; index++) {
    const [name = '', inline] = args[index]!.replace(/^--/, '').split(/=(.*)/s, 2);
    if (args[index]!.startsWith('--') && valued.has(name)) {
      const value = inline ?? args[++index];
      if (value === undefined) problems.push(`--${name}: expected a value after it.`);
      else given.set(name, value);
    } else if (args[index] === '--no-virtual-bath' || args[index] === '--help') given.set(name, '1');
    else problems.push(`${args[index]!}: there is no such option. --help lists them.`);
  }
  const text = (name: string, variable: string, usual: string): string =>
    given.get(name) ?? environment[variable] ?? usual;
  const number = (
    name: string,
    variable: string,
    usual: number,
    least: number,
    most: number,
    whole: boolean,
  ): number => {
    const value = text(name, variable, String(usual));
    const parsed = Number(value);
    if (value.trim() === '' || !(parsed >= least && parsed <= most) || (whole && !Number.isInteger(parsed))) {
      problems.push(
        `--${name} (${variable}): expected a ${whole ? 'whole ' : ''}number from ${String(least)} to ${String(most)}, got "${value}".`,
      );
      return usual;
    }
    return parsed;
  };
  const listed = (name: string, variable: string): string[] =>
    text(name, variable, '')
      .split(',')
      .map((one) => one.trim().toLowerCase())
      .filter((one) => one !== '');
  const https = (): HttpsSettings => {
    const way = text('https', 'BATHKEEPER_HTTPS', '');
    const certificate = text('certificate', 'BATHKEEPER_CERTIFICATE', '');
    const key = text('certificate-key', 'BATHKEEPER_CERTIFICATE_KEY', '');
    const port = number('https-port', 'BATHKEEPER_HTTPS_PORT', 4443, 0, 65_535, true);
    if (way !== '' && way !== 'home' && way !== 'off')
      problems.push(`--https (BATHKEEPER_HTTPS): expected home or off, got "${way}".`);
    if ((certificate === '') !== (key === ''))
      problems.push(
        '--certificate and --certificate-key (BATHKEEPER_CERTIFICATE, BATHKEEPER_CERTIFICATE_KEY): expected both or none, got one of them.',
      );
    if (certificate !== '' && way === 'home')
      problems.push(
        '--https home and --certificate: expected one of them. With your own certificate leave --https out.',
      );
    if (way === 'off') return { kind: 'off' };
    if (certificate !== '') return { kind: 'own', port, certificate, key };
    return way === 'home' ? { kind: 'home', port } : { kind: 'off' };
  };
  const names = listed('name', 'BATHKEEPER_NAME');
  for (const name of names)
    if (isIP(name) === 0 && !HOST_NAME.test(name))
      problems.push(`--name (BATHKEEPER_NAME): expected names or addresses with commas between, got "${name}".`);
  const trustedProxies = listed('trusted-proxy', 'BATHKEEPER_TRUSTED_PROXY');
  for (const proxy of trustedProxies)
    if (!isProxyAddress(proxy))
      problems.push(
        `--trusted-proxy (BATHKEEPER_TRUSTED_PROXY): expected addresses, networks like 10.0.0.0/8, or loopback, got "${proxy}".`,
      );
  const pageAddress = (): string | undefined => {
    const given = text('page-address', 'BATHKEEPER_PAGE_ADDRESS', '');
    if (given === '') return undefined;
    const url = URL.canParse(given) ? new URL(given) : undefined;
    if (
      url !== undefined &&
      /^https?:$/.test(url.protocol) &&
      url.pathname === '/' &&
      url.search + url.hash + url.username === ''
    )
      return url.href;
    problems.push(
      `--page-address (BATHKEEPER_PAGE_ADDRESS): expected an address without a path, like https://bath.example.org/, got "${given}".`,
    );
    return undefined;
  };
  const settings: Settings = {
    port: number('port', 'BATHKEEPER_PORT', 4180, 0, 65_535, true),
    host: text('host', 'BATHKEEPER_HOST', '0.0.0.0'),
    mqttPort: number('mqtt-port', 'BATHKEEPER_MQTT_PORT', 1883, 0, 65_535, true),
    mqttHost: text('mqtt-host', 'BATHKEEPER_MQTT_HOST', '0.0.0.0'),
    dataFolder: text('data', 'BATHKEEPER_DATA', usualDataFolder()),
    recordsKeptDays: number('keep-records', 'BATHKEEPER_KEEP_RECORDS', RECORDS_KEPT_DAYS, 1, 36_500, true),
    backupsFolder: text('backups', 'BATHKEEPER_BACKUPS', '') || undefined,
    speed: number('speed', 'BATHKEEPER_SPEED', 1, 1, 600, false),
    virtualBath: !given.has('no-virtual-bath') && environment.BATHKEEPER_NO_VIRTUAL_BATH !== '1',
    https: https(),
    names,
    trustedProxies,
    pageAddress: pageAddress(),
    help: given.has('help'),
  };
  if (settings.dataFolder.trim() === '') problems.push('--data (BATHKEEPER_DATA): expected a folder, got nothing.');
  return problems.length > 0 ? problems : settings;
}

const HOST_NAME = /^[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*$/;

function isProxyAddress(text: string): boolean {
  if (text === 'loopback') return true;
  const [address = '', bits, ...rest] = text.split('/');
  const family = isIP(address);
  if (family === 0 || rest.length > 0) return false;
  // A network of everybody would let any visitor say who he is.
  return bits === undefined || (/^\d+$/.test(bits) && Number(bits) >= 1 && Number(bits) <= (family === 4 ? 32 : 128));
}
