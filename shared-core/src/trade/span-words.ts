/* Spans of time in words, as the page and the run sheet write them. Rounds for reading only. */

/** Keeps a number and its unit on one line. */
const FIXED_SPACE = '\u00a0';

const TEN_SECONDS = 10;
const TEN_MINUTES_IN_SECONDS = 600;

/** To ten seconds below ten minutes. Example: "23 s", "90 s", "2 min 30 s", "4 min", "8 h 40 min", "2 days 3 h". Negative spans count as nothing. */
export function spanWords(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  if (whole < 120) return `${String(whole)}${FIXED_SPACE}s`;
  const tens = Math.round(whole / TEN_SECONDS) * TEN_SECONDS;
  if (tens < TEN_MINUTES_IN_SECONDS && tens % 60 !== 0)
    return `${String(Math.floor(tens / 60))}${FIXED_SPACE}min ${String(tens % 60)}${FIXED_SPACE}s`;
  const minutes = Math.round(whole / 60);
  if (minutes < 90) return `${String(minutes)}${FIXED_SPACE}min`;
  const hours = Math.floor(minutes / 60);
  if (hours < 48)
    return minutes % 60 === 0
      ? `${String(hours)}${FIXED_SPACE}h`
      : `${String(hours)}${FIXED_SPACE}h ${String(minutes % 60)}${FIXED_SPACE}min`;
  const days = Math.floor(hours / 24);
  return hours % 24 === 0 ? `${String(days)} days` : `${String(days)} days ${String(hours % 24)}${FIXED_SPACE}h`;
}
