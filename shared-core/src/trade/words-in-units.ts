/*
 * Sentences and values in a person's units. The planner writes every sentence in metric, each value before its unit ("2 to 7.5 A/dm²"); this converts what it finds.
 * Called by whoever shows a sentence. A unit without an imperial one stays.
 */
import { significant } from './shown.js';
import { convertedUnits, inUnits, type Unit, type UnitSystem, unitName } from './units.js';

/** Longest first, so that "mm/s" is not taken for "mm". What would read as a word ("K") is left alone. */
const inSentences = convertedUnits.filter((unit) => unit !== 'K').sort((one, other) => other.length - one.length);
const number = String.raw`-?\d+(?:\.\d+)?(?:e[-+]?\d+)?`;
const quantities = new RegExp(
  `“[^”]*”|"[^"]*"|(?<![\\w.+])(?:(${number}) (to|or) )?(${number}) (${inSentences.join('|')})(?![\\p{L}\\p{N}²³/·]|\\.\\p{L})`,
  'gu',
);

/** As many digits as were written, three at least, and no more than anybody measures. */
function digitsOf(text: string): number {
  const digits = text
    .replace(/^-?0*\.?0*/, '')
    .replace(/e.*$/, '')
    .replace('.', '').length;
  return Math.min(8, Math.max(3, digits));
}

/**
 * What stands in quotation marks is a name or what somebody typed, and stays as it is.
 *
 * @example
 * inWords('8 A/dm² is above the usual 2 to 7.5 A/dm²', 'imperial'); // "74.3 A/ft² is above the usual 18.6 to 69.7 A/ft²"
 */
export function inWords(sentence: string, system: UnitSystem): string {
  if (system === 'metric') return sentence;
  return sentence.replace(
    quantities,
    (whole: string, from: string | undefined, between: string | undefined, to: string | undefined, unit: Unit) => {
      if (to === undefined) return whole;
      const shown = (text: string): string => significant(inUnits(Number(text), unit, system).value, digitsOf(text));
      const before = from === undefined || between === undefined ? '' : `${shown(from)} ${between} `;
      return `${before}${shown(to)} ${unitName(unit, system)}`;
    },
  );
}

/** A value in a person's units, with the unit where there is one. Example: `shownWith(2, 'A/dm²', 'imperial', 3)` is "18.6 A/ft²". */
export function shownWith(value: number, unit: Unit, units: UnitSystem, digits = 4): string {
  const shown = inUnits(value, unit, units);
  const name = unit === '1' || unit === 'money' ? '' : ` ${shown.unit}`;
  return `${significant(shown.value, digits)}${name}`;
}
