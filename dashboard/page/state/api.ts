/*
 * Asks the dashboard and hands back its answer as a value: what was asked for, or a refusal in whole sentences.
 * Called by every room of the page that acts; throws nothing, keeps nothing.
 */
import type {
  AlarmFigures,
  AlarmName,
  AlarmStandingView,
  AlarmView,
  CalledOnDevice,
  ChannelRequest,
  ChannelView,
  CommandRequest,
  CommandView,
  ContactRequest,
  ContactView,
  Door,
  EscalationView,
  HeartbeatRequest,
  HeartbeatView,
  JournalEntry,
  LeaveAloneView,
  MailRequest,
  MailView,
  NightSeries,
  OutOfServiceRequest,
  PairRequest,
  PairResult,
  RecipePreview,
  RecipeRequest,
  Refusal,
  ShelveRequest,
  SimulatedButton,
  TestCallView,
} from '@bathkeeper/shared-core/messages';
import type { PlanRequest } from '@bathkeeper/shared-core/trade';

export type Answer<T> =
  | { readonly ok: true; readonly value: T }
  /** status 0: no answer at all. */
  | { readonly ok: false; readonly status: number; readonly refusal: Refusal };

const NOT_ANSWERED: Refusal = {
  error: 'The dashboard did not answer. Check that this device is in its network, then try again.',
  problems: [],
};

/** For the rooms that have a file of their own with what they ask. */
export function ask<T>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<Answer<T>> {
  if (method === 'GET') return asked(path, { method }, signal);
  const headers = { 'Content-Type': 'application/json' };
  return asked(path, { method, headers, body: JSON.stringify(body ?? {}) }, signal);
}

/** A file may take its time over a slow network. */
const FILE_MS_MAX = 10 * 60_000;

/** Sends a file as it is. */
export const askWithFile = <T>(method: string, path: string, file: Blob): Promise<Answer<T>> =>
  asked(
    path,
    { method, headers: { 'Content-Type': 'application/octet-stream' }, body: file },
    AbortSignal.timeout(FILE_MS_MAX),
  );

export interface NamedFile {
  readonly name: string;
  readonly file: Blob;
}

/** Fetches a file whole before it is saved: what the dashboard refuses is no file. */
export async function askForFile(path: string): Promise<Answer<NamedFile>> {
  try {
    const response = await fetch(path, { credentials: 'same-origin', signal: AbortSignal.timeout(FILE_MS_MAX) });
    if (!response.ok)
      return { ok: false, status: response.status, refusal: refusalOf(await response.text(), response.status) };
    const told = /filename="([^"]+)"/.exec(response.headers.get('content-disposition') ?? '')?.[1];
    return { ok: true, value: { name: told ?? path.split('/').at(-1)!, file: await response.blob() } };
  } catch {
    return { ok: false, status: 0, refusal: NOT_ANSWERED };
  }
}

async function asked<T>(path: string, request: RequestInit, signal?: AbortSignal): Promise<Answer<T>> {
  try {
    const response = await fetch(path, {
      ...request,
      credentials: 'same-origin',
      headers: { Accept: 'application/json', ...(request.headers as Record<string, string> | undefined) },
      signal: signal ?? AbortSignal.timeout(20_000),
    });
    const text = await response.text();
    if (response.ok) return { ok: true, value: (text === '' ? {} : JSON.parse(text)) as T };
    return { ok: false, status: response.status, refusal: refusalOf(text, response.status) };
  } catch {
    return { ok: false, status: 0, refusal: NOT_ANSWERED };
  }
}

/** A refusal even when something between page and dashboard answered in its place. */
function refusalOf(text: string, status: number): Refusal {
  try {
    const told = JSON.parse(text) as Partial<Refusal>;
    if (typeof told.error === 'string') return { error: told.error, problems: told.problems ?? [] };
  } catch {
    // Not from the dashboard: said below.
  }
  return { error: `The dashboard answered ${String(status)} without saying why. Reload the page.`, problems: [] };
}

/** The house itself, which has alarms and no bath, has an empty name, and this one in an address. */
export const HOUSE_IN_ADDRESS = '-';

const bath = (controllerId: string): string =>
  `/api/controllers/${controllerId === '' ? HOUSE_IN_ADDRESS : encodeURIComponent(controllerId)}`;

export const askDoor = (): Promise<Answer<Door>> => ask('GET', '/api/door');
export const setFirstPassphrase = (token: string, passphrase: string): Promise<Answer<unknown>> =>
  ask('POST', '/api/first-start', { token, passphrase });
export const enter = (passphrase: string): Promise<Answer<unknown>> => ask('POST', '/api/session', { passphrase });
export const leave = (): Promise<Answer<unknown>> => ask('DELETE', '/api/session');

export const askNight = (controllerId: string, run: number, points: number): Promise<Answer<NightSeries>> =>
  ask('GET', `${bath(controllerId)}/runs/${String(run)}/night?points=${String(points)}`);
export const sendCommand = (controllerId: string, request: CommandRequest): Promise<Answer<CommandView>> =>
  ask('POST', `${bath(controllerId)}/commands`, request);
export const previewRecipe = (
  controllerId: string,
  request: RecipeRequest,
  signal: AbortSignal,
): Promise<Answer<RecipePreview>> => ask('POST', `${bath(controllerId)}/recipe/preview`, request, signal);
/** `plan`: what the recipe came from; it is kept for the record of the run. */
export const sendRecipe = (
  controllerId: string,
  request: RecipeRequest,
  plan?: PlanRequest,
): Promise<Answer<CommandView>> =>
  ask('POST', `${bath(controllerId)}/recipe`, plan === undefined ? request : { ...request, plan });
export const pressSimulated = (controllerId: string, button: SimulatedButton): Promise<Answer<unknown>> =>
  ask('POST', `${bath(controllerId)}/simulated-press`, { button });
/** Also of one that is too old for the snapshot. */
export const askAlarm = (alarmId: number): Promise<Answer<AlarmView>> => ask('GET', `/api/alarms/${String(alarmId)}`);
/** `by`, here and below: the name of who does it, as signedName gives it. */
export const acknowledgeAlarm = (alarmId: number, by: string | undefined): Promise<Answer<AlarmView>> =>
  ask('POST', `/api/alarms/${String(alarmId)}/acknowledge`, { by });

const silence = (controllerId: string, name: AlarmName): string => `${bath(controllerId)}/alarms/${name}`;

export const askSilences = (controllerId: string): Promise<Answer<AlarmStandingView[]>> =>
  ask('GET', `${bath(controllerId)}/alarms/silences`);
export const shelveAlarm = (
  controllerId: string,
  name: AlarmName,
  request: ShelveRequest,
): Promise<Answer<AlarmStandingView>> => ask('POST', `${silence(controllerId, name)}/shelve`, request);
export const unshelveAlarm = (
  controllerId: string,
  name: AlarmName,
  by: string | undefined,
): Promise<Answer<AlarmStandingView>> => ask('DELETE', `${silence(controllerId, name)}/shelve`, { by });
export const takeOutOfService = (
  controllerId: string,
  name: AlarmName,
  request: OutOfServiceRequest,
): Promise<Answer<AlarmStandingView>> => ask('POST', `${silence(controllerId, name)}/out-of-service`, request);
export const putBackInService = (
  controllerId: string,
  name: AlarmName,
  by: string | undefined,
): Promise<Answer<AlarmStandingView>> => ask('DELETE', `${silence(controllerId, name)}/out-of-service`, { by });

export interface JournalFilter {
  readonly controller?: string;
  /** A name: each alarm of it. A number: this one alarm. */
  readonly alarm?: string;
  /** Only entries before this one. */
  readonly before?: number;
  readonly count: number;
}
export const askJournal = (filter: JournalFilter): Promise<Answer<JournalEntry[]>> => {
  const query = new URLSearchParams();
  for (const [key, value] of Object.entries(filter)) if (value !== undefined) query.set(key, String(value));
  return ask('GET', `/api/alarms/journal?${query.toString()}`);
};
export const askFigures = (controllerId: string, fromMs: number, toMs: number): Promise<Answer<AlarmFigures>> =>
  ask('GET', `${bath(controllerId)}/alarms/figures?from=${String(fromMs)}&to=${String(toMs)}`);

export const askContacts = (): Promise<Answer<ContactView[]>> => ask('GET', '/api/contacts');
export const addContact = (request: ContactRequest): Promise<Answer<ContactView>> =>
  ask('POST', '/api/contacts', request);
export const changeContact = (contactId: number, request: ContactRequest): Promise<Answer<ContactView>> =>
  ask('PUT', `/api/contacts/${String(contactId)}`, request);
export const removeContact = (contactId: number): Promise<Answer<unknown>> =>
  ask('DELETE', `/api/contacts/${String(contactId)}`);
export const addChannel = (contactId: number, request: ChannelRequest): Promise<Answer<ChannelView>> =>
  ask('POST', `/api/contacts/${String(contactId)}/channels`, request);
export const removeChannel = (channelId: number): Promise<Answer<unknown>> =>
  ask('DELETE', `/api/channels/${String(channelId)}`);
export const askPushKey = (): Promise<Answer<{ readonly publicKey: string }>> => ask('GET', '/api/push/key');
/** `device`: this one's name (push-here.ts). */
export const askDevice = (device: string): Promise<Answer<CalledOnDevice[]>> =>
  ask('GET', `/api/push/device?device=${device}`);

export const askMail = (): Promise<Answer<MailView>> => ask('GET', '/api/mail');
/** The answer tells whether the log-in worked. */
export const setMail = (request: MailRequest): Promise<Answer<TestCallView>> => ask('PUT', '/api/mail', request);
export const askEscalation = (): Promise<Answer<EscalationView>> => ask('GET', '/api/escalation');
export const setEscalation = (request: EscalationView): Promise<Answer<EscalationView>> =>
  ask('PUT', '/api/escalation', request);

export const startTestCall = (contactId: number, repeatsUntilConfirmed: boolean): Promise<Answer<TestCallView>> =>
  ask('POST', `/api/contacts/${String(contactId)}/test-call`, { repeatsUntilConfirmed });
export const askTestCall = (testCallId: number): Promise<Answer<TestCallView>> =>
  ask('GET', `/api/test-calls/${String(testCallId)}`);
export const stopTestCall = (testCallId: number): Promise<Answer<TestCallView>> =>
  ask('DELETE', `/api/test-calls/${String(testCallId)}`);

/** `device`: this one's name (push-here.ts), where it can be called. */
export const askLeaveAlone = (controllerId: string, device: string | undefined): Promise<Answer<LeaveAloneView>> =>
  ask('GET', `${bath(controllerId)}/leave-alone${device === undefined ? '' : `?device=${device}`}`);
export const askHeartbeat = (): Promise<Answer<HeartbeatView>> => ask('GET', '/api/heartbeat');
export const setHeartbeat = (request: HeartbeatRequest): Promise<Answer<HeartbeatView>> =>
  ask('PUT', '/api/heartbeat', request);

export const pairController = (request: PairRequest): Promise<Answer<PairResult>> =>
  ask('POST', '/api/controllers', request);
