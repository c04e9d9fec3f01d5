/*
 * `npm start`: reads the settings, starts the dashboard, the page and, when no controller is paired, a virtual bath; prints one address.
 * Everything that it decides is here; everything that it starts lives in other rooms.
 */
import dgram from 'node:dgram';
import { existsSync, statSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo, Server } from 'node:net';
import { networkInterfaces, uptime } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { pino } from 'pino';
import type { Express } from 'express';
import { recipeFromRequest } from '@bathkeeper/shared-core/trade';
import { scaledClock, systemClock } from './clock.js';
import { recipeRow } from './commands/command-desk.js';
import { createDashboard, type Dashboard } from './dashboard.js';
import { webApplication } from './http/application.js';
import { openDoor } from './http/door.js';
import { thisComputer } from './house/computer-questions.js';
import { diskSpace } from './house/disk-space.js';
import { openHttpsServer } from './https/https-server.js';
import { httpsWay } from './https/https-way.js';
import { ownHosts } from './https/own-hosts.js';
import { toHttps } from './https/to-https.js';
import { fingerprintLines, type TrustPageOptions } from './https/trust-page.js';
import { boardSettings, PAIRED_RIG, SIGN_OF_LIFE_PORT } from './settings/board-settings.js';
import { dataFolderProblem } from './settings/data-folder.js';
import { startFaultWords } from './settings/start-fault.js';
import { helpText, type Settings, settingsFrom } from './settings/settings.js';
import { openLedgerBook } from './ledger/ledger-book.js';
import { beginSimulatedLedger, endSimulatedLedgers } from './virtual-bath/simulated-ledger.js';
import { startVirtualBath, type VirtualBathProcess } from './virtual-bath/virtual-bath-process.js';

const PORTS_TRIED = 50;
const DEMONSTRATION = { controllerId: 'north-bench', bathName: 'Copper 60 L', prerollSeconds: 3 * 3600 + 40 * 60 };

const asked = settingsFrom(process.argv.slice(2), process.env);
if (Array.isArray(asked)) {
  process.stderr.write(
    `Bathkeeper does not start. What is wrong with its settings:\n  ${asked.join('\n  ')}\n\n${helpText}\n`,
  );
  process.exit(2);
}
const settings: Settings = asked;
if (settings.help) {
  process.stdout.write(`${helpText}\n`);
  process.exit(0);
}

const pageFolder = join(dirname(fileURLToPath(import.meta.url)), '..', 'page');
if (!existsSync(join(pageFolder, 'index.html'))) {
  process.stderr.write('The page is not built. Run `npm run build`, then start again.\n');
  process.exit(1);
}
const folderProblem = dataFolderProblem(settings.dataFolder);
if (folderProblem !== undefined) refuseToStart(folderProblem);

const log = pino({ level: process.env.BATHKEEPER_LOG ?? 'warn' }, pino.destination(2));
const udp = dgram.createSocket('udp4');
udp.on('error', (fault) => {
  log.warn({ err: fault }, 'sign of life could not be sent');
});
udp.bind(0, () => {
  udp.setBroadcast(true);
});
udp.unref();

// Certificates last by the hours of people, also where a virtual bath runs faster.
const certificateClock = systemClock();
const https = httpsWay(settings.https, settings.dataFolder, settings.names, () => ownHosts(settings.names), certificateClock); // prettier-ignore
if (Array.isArray(https)) refuseToStart(`Its certificate cannot be used:\n  ${https.join('\n  ')}`);

let virtualBath: VirtualBathProcess | undefined;
let pagePort = settings.port;
let httpsPort: number | undefined;
const clock = settings.speed === 1 ? systemClock() : scaledClock(settings.speed);

const dashboard: Dashboard = await createDashboard({
  clock,
  dataFolder: settings.dataFolder,
  recordsKeptDays: settings.recordsKeptDays,
  backupsFolder: settings.backupsFolder,
  logger: log,
  pageAddress: () => pageAddressOn(isHomeOnly() ? 'localhost' : ownAddress()),
  computer: {
    probes: {
      upMs: () => uptime() * 1000,
      diskSpace: () => diskSpace(settings.dataFolder),
      // Written by the build: no clock that is right shows an earlier time.
      earliestMs: statSync(fileURLToPath(import.meta.url)).mtimeMs,
    },
    questions: thisComputer,
  },
  sendSignOfLife: (text, controllerId) => {
    const send = (port: number, address: string): void => {
      udp.send(text, port, address, () => undefined);
    };
    if (dashboard.book.bath(controllerId)?.paired.isSimulated === true) {
      if (virtualBath) send(virtualBath.signOfLifePort, '127.0.0.1');
    } else for (const address of broadcastAddresses()) send(SIGN_OF_LIFE_PORT, address);
  },
}).catch((fault: unknown) => refuseToStart(startFaultWords(fault, settings.dataFolder)));
const hasRealController = dashboard.book.all().some((bath) => !bath.paired.isSimulated);
if (hasRealController && settings.speed !== 1) {
  await dashboard.close();
  refuseToStart(
    `--speed (BATHKEEPER_SPEED) is ${String(settings.speed)}, but a real controller is paired, whose hours are real ones. Leave the option out, or point --data at another folder for a simulated bath.`,
  );
}
// A simulated bath of an earlier start is not there any more, and nobody is to miss it.
for (const { paired } of [...dashboard.book.all()]) if (paired.isSimulated) dashboard.unpair(paired.controllerId);
const door = openDoor(dashboard.store, systemClock());
const mqttPort = await dashboard.broker.listen(settings.mqttHost, settings.mqttPort, PORTS_TRIED);
const notices = (): string[] => [
  ...https.problems,
  ...(tls?.problems() ?? []),
  ...(settings.mqttPort !== 0 && mqttPort !== settings.mqttPort
    ? [
        `Port ${String(settings.mqttPort)} for controllers was taken: they are expected on ${String(mqttPort)}. Free it, or write the new port to each board.`,
      ]
    : []),
];
const trust: TrustPageOptions = {
  way: https.trust,
  address: () => (httpsPort === undefined ? undefined : pageAddressOn(ownAddress())),
};
const app: Express = webApplication({
  dashboard,
  door,
  pageFolder,
  notices,
  press: () => virtualBath?.press,
  mqttPort: () => mqttPort,
  hostAddress: ownAddress,
  trust,
  trustedProxies: settings.trustedProxies,
  pairedReal: () => {
    virtualBath?.stop();
    virtualBath = undefined;
    for (const bath of dashboard.book.all()) if (bath.paired.isSimulated) dashboard.unpair(bath.paired.controllerId);
    endSimulatedLedgers(openLedgerBook(dashboard.store), clock.nowMs());
  },
});
const tls =
  https.certificates === undefined
    ? undefined
    : openHttpsServer({ ...https.certificates, clock: certificateClock, listener: app });
if (tls !== undefined && settings.https.kind !== 'off') {
  await listenOnNextFree(tls.server, settings.host, settings.https.port);
  httpsPort = (tls.server.address() as AddressInfo).port;
}
const plain = tls === undefined ? app : toHttps(() => httpsPort ?? 0, trust);
const server = await listenOnNextFree(createServer(plain), settings.host, settings.port);
const bound = server.address();
pagePort = typeof bound === 'object' && bound !== null ? bound.port : settings.port;
if (settings.port !== 0 && pagePort !== settings.port) {
  process.stderr.write(
    `Port ${String(settings.port)} is taken by another program; the page is on ${String(pagePort)} instead.\n`,
  );
}
const shownHost = settings.host === '0.0.0.0' || settings.host === '::' ? 'localhost' : settings.host;
const token = door.firstStartToken;
process.stdout.write(
  `\nBathkeeper: ${addressOn(shownHost)}${token === undefined ? '' : `first-start?token=${token}`}\n` +
    (token === undefined ? '' : '(This link works once: it lets you choose the passphrase.)\n') +
    (isHomeOnly() ? '' : `From a phone in the same network: ${pageAddressOn(ownAddress())}\n`) +
    (https.fingerprint === undefined
      ? ''
      : `A phone comes to trust it at http://${isHomeOnly() ? shownHost : ownAddress()}:${String(pagePort)}/trust ; the digits to compare there:\n  ${fingerprintLines(https.fingerprint).join('\n  ')}\n`) +
    `Data: ${settings.dataFolder}\n\n`,
);

if (settings.virtualBath && !hasRealController) await beginDemonstration();
// Not before everything is watched: of a store of years it takes a while.
void dashboard.keeping.checkStore();

for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void stop());
// A promise that nobody waited for must not end the watch over a bath; it is a mistake all the same, and told.
process.on('unhandledRejection', (fault) => {
  log.error({ err: fault }, 'a promise failed and nobody waited for it');
});

/** A night that is already under way: its first hours are played as fast as the machine can, then it goes on beside the dashboard. */
async function beginDemonstration(): Promise<void> {
  const { controllerId, bathName, prerollSeconds } = DEMONSTRATION;
  dashboard.store.setSetting(`simulated:${controllerId}`, '1');
  const secret = await dashboard.pair(controllerId, bathName, true, PAIRED_RIG);
  beginSimulatedLedger({ book: openLedgerBook(dashboard.store), bathName, controllerId, nowMs: clock.nowMs() });
  const { recipe, preview } = recipeFromRequest(
    {
      partName: 'Fluted bell lampshade',
      areaDm2: 12,
      currentDensityAmpsPerDm2: 1.6,
      averageThicknessMicrometres: 180,
      rotationPulsesPerMinute: 6,
    },
    PAIRED_RIG,
    dashboard.book.nextRecipeId(),
    clock.nowMs(),
  );
  if (recipe === undefined) throw new Error(`The demonstration's recipe was refused: ${preview.refusals.join(' ')}`);
  const row = recipeRow(recipe);
  dashboard.book.saveRecipe(controllerId, preview.recipe, row, clock.nowMs());
  try {
    virtualBath = await startVirtualBath(
      {
        settings: boardSettings(controllerId, secret, '127.0.0.1', mqttPort, SIGN_OF_LIFE_PORT, true),
        seed: 1,
        speed: settings.speed,
        prerollSeconds,
        recipeRow: row,
        faults: [],
        signOfLifePort: 0,
      },
      (words) => {
        log.warn(words);
      },
    );
  } catch (fault) {
    process.stderr.write(`The virtual bath did not start: ${(fault as Error).message}\nThe page works without it.\n`);
  }
}

function refuseToStart(why: string): never {
  process.stderr.write(`Bathkeeper does not start. ${why}\n`);
  process.exit(2);
}

function listenOnNextFree<T extends Server>(listening: T, host: string, port: number): Promise<T> {
  return new Promise((resolve, reject) => {
    let tried = 0;
    listening.on('error', (fault: NodeJS.ErrnoException) => {
      if (fault.code === 'EADDRINUSE' && tried < PORTS_TRIED) listening.listen(port + ++tried, host);
      else {
        process.stderr.write(
          `The page cannot listen on ${host}:${String(port)}: ${fault.message}. Choose another with --port or --host.\n`,
        );
        reject(fault);
      }
    });
    listening.once('listening', () => {
      resolve(listening);
    });
    listening.listen(port, host);
  });
}

/** The page on one of this computer's addresses. */
function addressOn(host: string): string {
  return httpsPort === undefined ? `http://${host}:${String(pagePort)}/` : `https://${host}:${String(httpsPort)}/`;
}

/** No other computer reaches the page. */
function isHomeOnly(): boolean {
  return settings.host === 'localhost' || settings.host === '::1' || settings.host.startsWith('127.');
}

/** The page's address for people: what the owner said, else what is found. */
function pageAddressOn(host: string): string {
  return settings.pageAddress ?? addressOn(host);
}

async function stop(): Promise<void> {
  virtualBath?.stop();
  tls?.close();
  server.closeAllConnections();
  server.close();
  udp.close();
  await dashboard.close();
  process.exit(0);
}

function ownAddress(): string {
  for (const list of Object.values(networkInterfaces())) {
    for (const one of list ?? []) if (one.family === 'IPv4' && !one.internal) return one.address;
  }
  return '127.0.0.1';
}

function broadcastAddresses(): string[] {
  const addresses: string[] = [];
  for (const list of Object.values(networkInterfaces())) {
    for (const one of list ?? []) {
      if (one.family !== 'IPv4' || one.internal) continue;
      const address = one.address.split('.').map(Number);
      const mask = one.netmask.split('.').map(Number);
      addresses.push(address.map((part, index) => (part & mask[index]!) | (~mask[index]! & 255)).join('.'));
    }
  }
  return addresses;
}
