/* One good request for each route that takes one, at an address that answers it. Used by the test that spoils each of their fields. */
import { pairingText } from '@bathkeeper/shared-core/messages';
import type { AdditionAsked, EntryAsked, NewEntryRequest } from '@bathkeeper/shared-core/trade';
import { lampshade } from '../../shared-core/trade/plan/requests.js';
import { CONTROLLER, EVENING_MS } from './dashboard-on-trial.js';
import { RUN } from './logbook/a-night.js';

const who = 'Robin';
const acid = { strengthShare: 0.96, densityGramsPerMl: 1.84 };
const wrong = { who, reason: 'Of the other bath' };

const addition: AdditionAsked = { kind: 'addition', of: 'sulphuric-acid', amount: 100, acid };
/** One of each kind of entry in a ledger. */
const ledgerEntries: { readonly [Kind in EntryAsked['kind']]: Extract<EntryAsked, { kind: Kind }> } = {
  'made-up': { kind: 'made-up', litres: 60, composition: { 'copper-sulphate': 200, 'sulphuric-acid': 60, chloride: 60 }, from: 'chemicals', saltPurityShare: 0.99, acid, hydrochloric: { strengthShare: 0.32, densityGramsPerMl: 1.16 }, brightenerMillilitresPerLitre: 4 },
  addition,
  level: { kind: 'level', litres: 58 },
  analysis: { kind: 'analysis', analyte: 'copper-sulphate', how: 'edta', titration: { sampleMillilitres: 2, titrantMillilitres: 16, blankMillilitres: 0.1, titrantMolesPerLitre: 0.1 } },
  'put-on': { kind: 'put-on', controllerId: CONTROLLER },
  'taken-off': { kind: 'taken-off' },
  'brightener-rate': { kind: 'brightener-rate', litresPerKiloampereHour: 0.3, doseMillilitres: 90, source: 'its sheet' },
  note: { kind: 'note' },
  'hull-cell': { kind: 'hull-cell', cell: '267 mL', cellAmps: 2, minutes: 10, isStirred: true, bathCelsius: 24, seen: [{ look: 'bright', fromMm: 10, toMm: 90 }] },
  'throwing-power': { kind: 'throwing-power', nearGrams: 2, farGrams: 0.6, distanceRatio: 5, formula: 'field' },
  filtration: { kind: 'filtration', how: 'batch', poreMicrometres: 5, hours: 4, isMediumNew: true },
  'carbon-treatment': { kind: 'carbon-treatment', how: 'powder', grams: 120, hours: 8, bathCelsius: 40 },
  'anodes-weighed': { kind: 'anodes-weighed', grams: 5200 },
  'anodes-changed': { kind: 'anodes-changed', takenOutGrams: 900, putInGrams: 2500 },
  'waste-collected': { kind: 'waste-collected', what: 'rinse', amount: 20, container: 'blue drum' },
  'waste-handed-over': { kind: 'waste-handed-over', what: 'rinse', amount: 20, toWhom: 'collection point' },
  tank: { kind: 'tank', openSurfaceDm2: 24, bathCelsius: 24, isAirAgitated: true },
  reminder: { kind: 'reminder', of: 'filtration', everyDays: 30, everyAmpereHours: 500 },
}; // prettier-ignore

const noted = { who, note: 'Looked after', atMs: EVENING_MS - 1000 };
const recipe = { partName: 'Bell', areaDm2: 6, currentDensityAmpsPerDm2: 1.6, averageThicknessMicrometres: 100, strikeDensityAmpsPerDm2: 0.3, strikeMinutes: 10, rampMinutes: 30, rotationPulsesPerMinute: 6, bath: 'bright-copper', cathodeEfficiency: 0.97 }; // prettier-ignore
const contact = { name: 'First watch', place: 1, fromMinute: 0, toMinute: 480, wantsGoodNews: true, wantsMorningSummary: true, wantsLowPriority: false }; // prettier-ignore
const subscription = { endpoint: 'https://push.example.org/one', keys: { p256dh: 'B'.repeat(87), auth: 'A'.repeat(22) } }; // prettier-ignore

export interface GoodRequest {
  readonly path: string;
  readonly body: Readonly<Record<string, unknown>>;
}

/** By method and route as the application knows it; what stands in a query comes as `query` of the path alone. */
export const goodRequests: Readonly<Record<string, readonly GoodRequest[]>> = {
  'POST /controllers/:id/recipe/preview': [{ path: `/api/controllers/${CONTROLLER}/recipe/preview`, body: recipe }],
  'POST /controllers/:id/recipe': [
    { path: `/api/controllers/${CONTROLLER}/recipe`, body: { ...recipe, plan: lampshade } },
  ],
  'POST /controllers/:id/commands': [
    { path: `/api/controllers/${CONTROLLER}/commands`, body: { kind: 'hold' } },
    { path: `/api/controllers/${CONTROLLER}/commands`, body: { kind: 'lower', toAmps: 3 } },
  ],
  'POST /controllers/:id/simulated-press': [
    { path: `/api/controllers/${CONTROLLER}/simulated-press`, body: { button: 'start' } },
  ],
  'POST /controllers': [
    {
      path: '/api/controllers',
      body: { controllerId: 'south-bench', bathName: 'Copper 120 L', secretText: pairingText('3e'.repeat(32)) },
    },
  ],
  'POST /controllers/:id/alarms/:name/shelve': [
    {
      path: `/api/controllers/${CONTROLLER}/alarms/filter-stopped/shelve`,
      body: { reason: 'no filter', minutes: 30, by: 'Robin' },
    },
  ],
  'DELETE /controllers/:id/alarms/:name/shelve': [
    { path: `/api/controllers/${CONTROLLER}/alarms/filter-stopped/shelve`, body: { by: 'Robin' } },
  ],
  'POST /controllers/:id/alarms/:name/out-of-service': [
    {
      path: `/api/controllers/${CONTROLLER}/alarms/filter-stopped/out-of-service`,
      body: { reason: 'no filter', by: 'Robin' },
    },
  ],
  'DELETE /controllers/:id/alarms/:name/out-of-service': [
    { path: `/api/controllers/${CONTROLLER}/alarms/filter-stopped/out-of-service`, body: { by: 'Robin' } },
  ],
  'POST /alarms/:alarmId/acknowledge': [{ path: '/api/alarms/1/acknowledge', body: { by: 'Robin' } }],
  'POST /contacts': [{ path: '/api/contacts', body: contact }],
  'PUT /contacts/:id': [{ path: '/api/contacts/1', body: contact }],
  'POST /contacts/:id/channels': [
    { path: '/api/contacts/1/channels', body: { kind: 'web-push', subscription } },
    { path: '/api/contacts/1/channels', body: { kind: 'e-mail', address: 'watch@example.org' } },
    {
      path: '/api/contacts/1/channels',
      body: { kind: 'webhook', address: 'https://relay.example.org/x', allowPrivateAddress: false, template: '', contentType: '', headers: [{ name: 'x-key', value: 'secret' }] },
    }, // prettier-ignore
  ],
  'PUT /mail': [{ path: '/api/mail', body: { host: 'mail.example.org', port: 465, isImplicitTls: true, user: 'bath', password: 'p', from: 'bath@example.org' } }], // prettier-ignore
  'PUT /escalation': [{ path: '/api/escalation', body: { againAfterMinutes: 5, nextPersonAfterMinutes: 10, timeZone: 'Europe/Berlin', morningSummaryAtMinute: 420 } }], // prettier-ignore
  'POST /contacts/:id/test-call': [{ path: '/api/contacts/1/test-call', body: { repeatsUntilConfirmed: false } }],
  'POST /channels/:id/test-call': [{ path: '/api/channels/1/test-call', body: { repeatsUntilConfirmed: false } }],
  'PUT /heartbeat': [{ path: '/api/heartbeat', body: { address: '', everyMinutes: 5, allowPrivateAddress: false } }],
  'PUT /push/subscription': [
    { path: '/api/push/subscription', body: { oldEndpoint: 'https://push.example.org/none', subscription } },
  ],
  'POST /baths': [{ path: '/api/baths', body: { name: 'Copper 120 L', profile: 'bright-copper', who } }],
  'POST /baths/:bath/entries': Object.values(ledgerEntries).map((body) => ({
    path: '/api/baths/1/entries',
    body: { ...noted, body, isConfirmed: true } satisfies NewEntryRequest,
  })),
  'POST /baths/:bath/entries/:entry/undo': [{ path: '/api/baths/1/entries/1/undo', body: wrong }],
  'POST /stock/entries': [
    { path: '/api/stock/entries', body: { ...noted, body: { kind: 'bought', of: 'brightener', amount: 5, price: 2 } } },
    { path: '/api/stock/entries', body: { ...noted, body: { kind: 'counted', of: 'brightener', amount: 5 } } },
    { path: '/api/stock/entries', body: { ...noted, body: { kind: 'low-at', of: 'brightener', amount: 5 } } },
  ],
  'POST /stock/entries/:entry/undo': [{ path: '/api/stock/entries/1/undo', body: wrong }],
  'POST /plans': [{ path: '/api/plans', body: { name: 'Bell', request: lampshade } }],
  'PUT /plans/:plan': [{ path: '/api/plans/1', body: { name: 'Bell', request: lampshade } }],
  'POST /rehearsal': [
    { path: '/api/rehearsal', body: { request: { ...lampshade, parts: [] }, controllerId: CONTROLLER, faults: [{ name: 'leak', afterMinutes: 20, minutes: 5 }] } },
  ], // prettier-ignore
  'POST /runs/:controllerId/:incarnation/:run/entries': [
    { path: `${RUN}/entries`, body: { ...noted, body: { kind: 'note' }, isConfirmed: true } },
    { path: `${RUN}/entries`, body: { ...noted, body: { kind: 'weighing', when: 'before', grams: 812, uncertaintyGrams: 0.1 } } }, // prettier-ignore
  ],
  'POST /runs/:controllerId/:incarnation/:run/entries/:entry/undo': [{ path: `${RUN}/entries/1/undo`, body: wrong }],
  'POST /runs/:controllerId/:incarnation/:run/entries/:entry/correct': [
    { path: `${RUN}/entries/1/correct`, body: { ...wrong, note: 'At eleven' } },
  ],
  'POST /runs/:controllerId/:incarnation/:run/delete': [{ path: `${RUN}/delete`, body: { who } }],
};

/** Routes whose words stand in their query. */
export const goodQueries: Readonly<Record<string, GoodRequest>> = {
  'GET /series': { path: '/api/series', body: { controllerId: CONTROLLER, fromMs: '0', toMs: '1000', points: '50' } },
  'GET /series/marks': { path: '/api/series/marks', body: { controllerId: CONTROLLER, fromMs: '0', toMs: '1000' } },
  'GET /runs/:controllerId/:incarnation/:run/sheet.:format': {
    path: `${RUN}/sheet.html`,
    body: { paper: 'a4', units: 'metric', zone: 'Europe/Berlin' },
  },
  'GET /runs': { path: '/api/runs', body: { before: '1000', count: '5' } },
  'GET /alarms/journal': { path: '/api/alarms/journal', body: { before: '1000', count: '5' } },
  'GET /controllers/:id/runs/:run/night': {
    path: `/api/controllers/${CONTROLLER}/runs/1/night`,
    body: { points: '100' },
  },
  'POST /runs/:controllerId/:incarnation/:run/photographs': {
    path: `${RUN}/photographs`,
    body: { who, note: 'The rim', atMs: '1000' },
  },
  'POST /run-imports': { path: '/api/run-imports', body: { fileName: 'night.zip', importedBy: who } },
};

/** Routes that read nothing but their address. */
export const wordless: readonly string[] = [
  'POST /keeping/check',
  'POST /keeping/backups',
  'POST /plans/:plan/copy',
  'POST /plans/:plan/bring-back',
  'POST /runs/:controllerId/:incarnation/:run/bring-back',
  // Its token is in its address, and its answer is a page (acknowledge-page.test.ts).
  'POST /acknowledge/:token',
  // Ten tries a minute: their shapes are spoiled one by one below.
  'POST /api/first-start',
  'POST /api/session',
];
