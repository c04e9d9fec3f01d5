/*
 * From what a person typed to a number. Decimal commas are taken; an exponent, a space within, a word are none. Pure; used by every form that takes a number.
 */

/** A plain decimal number, point or comma; undefined when it is not one. Example: `typedNumber('1,6')` is 1.6. */
export function typedNumber(text: string): number | undefined {
  const trimmed = text.trim().replace(',', '.');
  return /^\d{1,9}(\.\d{0,6})?$/.test(trimmed) ? Number(trimmed) : undefined;
}

/** The same for what may lie below zero, with a hyphen or a minus. Example: `signedNumber('−5')` is -5. */
export function signedNumber(text: string): number | undefined {
  const [, minus = '', rest = ''] = /^\s*([-\u2212]?)(.*)$/s.exec(text) ?? [];
  const size = typedNumber(rest);
  return minus === '' || size === undefined ? size : -size;
}

/** Whether it would be a number but for its minus, so that the message can say so. */
export function isBelowZero(text: string): boolean {
  return (signedNumber(text) ?? 0) < 0;
}
