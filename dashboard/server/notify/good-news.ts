/*
 * Good news, for those who want it: a run that finished, with charge, thickness and time, and the summary of the night in the morning. Called by
 * calling.ts at the end of a run and once a second. It only puts words together and adds a call; it wakes nobody (see rounds.ts).
 */
import { Condition } from '@bathkeeper/shared-core/control';
import type { AlarmFigures, ControllerView, RunView } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import { alarmTexts } from '../watch/alarm-texts.js';
import type { CallStore } from './call-store.js';
import type { CallingSettings } from './calling-settings.js';
import type { Contacts } from './contacts.js';
import { localDay, localTime, MINUTES_OF_DAY, minuteOfDay, minutesUntil } from './house-time.js';

/** The summary is of this long before it. */
const NIGHT_MS = 12 * 3_600_000;
/** A dashboard that was down in the morning still tells for so long. */
const LATE_MINUTES = 180;
/** A change of the settings counts within so many minutes. */
const LOOK_MINUTES = 15;
const SUMMARY_DAY = 'morningSummaryDay';
const MEANT_ENDS: readonly number[] = [Condition.chargeReached];

export interface GoodNews {
  runEnded(controllerId: string, endedCode: number, nowMs: number): void;
  tick(nowMs: number): void;
}

export function openGoodNews(options: {
  store: Store;
  calls: CallStore;
  contacts: Contacts;
  settings: CallingSettings;
  view: (controllerId: string) => ControllerView | undefined;
  controllers: () => readonly ControllerView[];
  figures: (controllerId: string, fromMs: number, toMs: number) => AlarmFigures;
  wake: () => void;
}): GoodNews {
  const { store, calls, contacts, settings } = options;
  let summaryDay = store.setting(SUMMARY_DAY);
  let nextLookAtMs = -Infinity;
  return {
    runEnded: (controllerId, endedCode, nowMs) => {
      const view = options.view(controllerId);
      const run = view?.run ?? null;
      if (view === undefined || run === null || !MEANT_ENDS.includes(endedCode)) return;
      if (!contacts.people().some((person) => person.wantsGoodNews)) return;
      const { timeZone } = settings.escalation();
      calls.add(
        {
          kind: 'good-news',
          controllerId,
          priority: 'low',
          title: `${nameOf(view)}: run finished`,
          message: `${runWords(run, timeZone)} Take the part out before the copper roughens.`,
        },
        nowMs,
      );
      options.wake();
    },
    tick: (nowMs) => {
      if (nowMs < nextLookAtMs && nowMs > nextLookAtMs - 2 * LOOK_MINUTES * 60_000) return;
      const { timeZone, morningSummaryAtMinute } = settings.escalation();
      if (morningSummaryAtMinute === null) return;
      const waitMinutes = minutesUntil(minuteOfDay(nowMs, timeZone), morningSummaryAtMinute);
      nextLookAtMs = nowMs + Math.min(Math.max(waitMinutes, 1), LOOK_MINUTES) * 60_000;
      const late = (minuteOfDay(nowMs, timeZone) - morningSummaryAtMinute + MINUTES_OF_DAY) % MINUTES_OF_DAY;
      if (late >= LATE_MINUTES) return;
      const day = localDay(nowMs, timeZone);
      if (day === summaryDay) return;
      const views = options.controllers();
      store.together(() => {
        store.setSetting(SUMMARY_DAY, day);
        if (views.length === 0 || !contacts.people().some((person) => person.wantsMorningSummary)) return;
        calls.add(
          {
            kind: 'morning-summary',
            controllerId: '',
            priority: 'low',
            title: 'Bathkeeper: the night',
            message: views
              .map((view) => {
                const figures = options.figures(view.controllerId, nowMs - NIGHT_MS, nowMs);
                return `${nameOf(view)}. ${nightWords(view, figures, timeZone)}`;
              })
              .join('\n\n'),
          },
          nowMs,
        );
        options.wake();
      });
      summaryDay = day;
    },
  };
}

function nameOf(view: ControllerView): string {
  return `${view.isSimulated ? 'SIMULATED ' : ''}${view.bathName}`;
}

/** Example: "Fluted bell lampshade: 70.4 Ah, about 180 µm on average (at 100 % cathode efficiency), 83 g of copper, in 4 h 12 min, until 06:40." */
export function runWords(run: RunView, timeZone: string): string {
  const { recipe } = run;
  const parts = [`${run.chargeAmpereHours.toFixed(1)} Ah`];
  if (recipe.areaDm2 > 0)
    parts.push(
      `about ${run.averageThicknessMicrometres.toFixed(0)} µm on average (at ${String(Math.round(1000 * recipe.cathodeEfficiency) / 10)} % cathode efficiency)`,
    );
  parts.push(`${run.depositMassGrams.toFixed(run.depositMassGrams < 10 ? 1 : 0)} g of ${recipe.metal}`);
  if (run.endedAtMs !== null)
    parts.push(
      `in ${durationWords((run.endedAtMs - run.startedAtMs) / 1000)}, until ${localTime(run.endedAtMs, timeZone)}`,
    );
  return `${recipe.partName}: ${parts.join(', ')}.`;
}

function nightWords(view: ControllerView, figures: AlarmFigures, timeZone: string): string {
  const { run } = view;
  const sentences: string[] = [];
  if (run === null) sentences.push('No run yet.');
  else if (run.endedAtMs !== null && run.endedAtMs >= figures.fromMs)
    sentences.push(`Run ended${run.endedBecause === null ? '' : ` (${run.endedBecause})`}. ${runWords(run, timeZone)}`);
  else if (run.endedAtMs === null)
    sentences.push(
      `${runWords(run, timeZone)} Still running${run.plannedFinishAtMs === null ? '' : `, done about ${localTime(run.plannedFinishAtMs, timeZone)}`}.`,
    );
  else sentences.push('No run in this night.');
  if (!view.isOnline) sentences.push('The controller is not heard now.');
  if (figures.raisedCount === 0) sentences.push('No alarm.');
  else {
    const { byPriority, longestStanding, secondsToAcknowledgeMedian, unacknowledgedCount, chattering } = figures;
    sentences.push(
      `${String(figures.raisedCount)} alarm${figures.raisedCount === 1 ? '' : 's'} (${String(byPriority.high)} high, ${String(byPriority.medium)} medium, ${String(byPriority.low)} low).`,
    );
    if (longestStanding !== null)
      sentences.push(`Longest: ${alarmTexts[longestStanding.name].title}, ${durationWords(longestStanding.seconds)}.`);
    if (secondsToAcknowledgeMedian !== null)
      sentences.push(`Acknowledged after ${durationWords(secondsToAcknowledgeMedian)} (median).`);
    if (unacknowledgedCount > 0) sentences.push(`${String(unacknowledgedCount)} not acknowledged.`);
    for (const { name, raisedCount } of chattering.slice(0, 1))
      sentences.push(`Chattering: ${alarmTexts[name].title}, ${String(raisedCount)} times.`);
  }
  return sentences.join(' ');
}

/** Example: 15120 -> "4 h 12 min", 75 -> "1 min 15 s". */
export function durationWords(seconds: number): string {
  const whole = Math.round(seconds);
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor((whole % 3600) / 60);
  if (hours > 0) return `${String(hours)} h ${String(minutes)} min`;
  return minutes > 0 ? `${String(minutes)} min ${String(whole % 60)} s` : `${String(whole)} s`;
}
