/*
 * Why an alarm is silent, until when, and the ends that may be chosen for a shelf. Used by the alarm list and its dialog; pure.
 * What may be silent at all is judged by the dashboard.
 */
import { type AlarmSilence, SHELVE_HOURS_MAX } from '@bathkeeper/shared-core/messages';
import { byWords } from '@bathkeeper/shared-core/watch';
import { timeWords } from './times.js';

/** Example: "Shelved by Robin until 04:30: the probe is being changed. It calls nobody." */
export function silenceWords(silence: AlarmSilence, nowMs: number, timeZone?: string): string {
  const reason = silence.reason.trim().replace(/[.\s]*$/, '');
  switch (silence.kind) {
    case 'shelved':
      return `Shelved ${byWords(silence.who)} until ${timeWords(silence.untilMs, nowMs, timeZone)}: ${reason}. It calls nobody until then.`;
    case 'out-of-service':
      return `Out of service since ${timeWords(silence.sinceMs, nowMs, timeZone)}, ${byWords(silence.who)}: ${reason}. It calls nobody until it is put back.`;
    case 'suppressed-by-design':
      return `Silent by design: ${reason}.`;
  }
}

/** Lengths of a shelf that are offered; the longest is the longest that the dashboard takes. */
export const shelfMinutes: readonly number[] = [15, 30, 60, 120, 240, 480, SHELVE_HOURS_MAX * 60];
