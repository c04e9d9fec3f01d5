/* How numbers stand in the planner's sentences. Called by refusals, cautions and warnings. Rounds for reading only. */

/** At most two decimals, no trailing zeros. Example: `shown(19.2)` is "19.2", `shown(2 / 3)` is "0.67". */
export function shown(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/**
 * So many significant digits, for figures of any size; an exponent only below a millionth and from a thousand million million on. Example: `significant(0.002386)` is "0.002386",
 * `significant(12345.6)` is "12346".
 */
export function significant(value: number, digits = 4): string {
  if (!isFinite(value) || value === 0) return String(value);
  if (Math.abs(value) < 1e-6 || Math.abs(value) >= 1e15) return value.toExponential(Math.max(0, digits - 1));
  const decimals = Math.min(20, Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value)))));
  const text = value.toFixed(decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}
