/*
 * Asks the dashboard and hands back its answer as a value: what was asked for, or a refusal in whole sentences.
 * Called by every room of the page that acts; throws nothing, keeps nothing.
 */
import type {
  AlarmView,
  CommandRequest,
  CommandView,
  Door,
  NightSeries,
  PairRequest,
  PairResult,
  RecipePreview,
  RecipeRequest,
  Refusal,
  SimulatedButton,
  WebhookRequest,
  WebhookTestResult,
  WebhookView,
} from '@bathkeeper/shared-core/messages';

export type Answer<T> =
  | { readonly ok: true; readonly value: T }
  /** status 0: no answer at all. */
  | { readonly ok: false; readonly status: number; readonly refusal: Refusal };

const NOT_ANSWERED: Refusal = {
  error: 'The dashboard did not answer. Check that this device is in its network, then try again.',
  problems: [],
};

async function ask<T>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<Answer<T>> {
  try {
    const response = await fetch(path, {
      method,
      credentials: 'same-origin',
      headers: { Accept: 'application/json', ...(method === 'GET' ? {} : { 'Content-Type': 'application/json' }) },
      ...(method === 'GET' ? {} : { body: JSON.stringify(body ?? {}) }),
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

const bath = (controllerId: string): string => `/api/controllers/${encodeURIComponent(controllerId)}`;

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
export const sendRecipe = (controllerId: string, request: RecipeRequest): Promise<Answer<CommandView>> =>
  ask('POST', `${bath(controllerId)}/recipe`, request);
export const pressSimulated = (controllerId: string, button: SimulatedButton): Promise<Answer<unknown>> =>
  ask('POST', `${bath(controllerId)}/simulated-press`, { button });
export const acknowledgeAlarm = (alarmId: number): Promise<Answer<AlarmView>> =>
  ask('POST', `/api/alarms/${String(alarmId)}/acknowledge`);

export const setWebhook = (request: WebhookRequest): Promise<Answer<WebhookView>> =>
  ask('PUT', '/api/webhook', request);
export const testWebhook = (): Promise<Answer<WebhookTestResult>> => ask('POST', '/api/webhook/test');
export const pairController = (request: PairRequest): Promise<Answer<PairResult>> =>
  ask('POST', '/api/controllers', request);
