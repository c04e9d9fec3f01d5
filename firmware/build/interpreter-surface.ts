/*
 * What the interpreter has of JavaScript's standard library, and what it lacks though ES5 or later promises it.
 * Read by the static gate. Measured on Espruino 2v29 by asking it for each name; a test asks again when it is at hand.
 */

/** Globals of the language itself. Those of the board come from espruino.d.ts. */
export const LANGUAGE_GLOBALS: readonly string[] = (
  'Array ArrayBuffer Boolean DataView Date Error Float32Array Float64Array Function Infinity InternalError ' +
  'Int16Array Int32Array Int8Array JSON Math NaN Number Object Promise ReferenceError String SyntaxError TypeError ' +
  'Uint16Array Uint32Array Uint8Array Uint8ClampedArray decodeURIComponent encodeURIComponent isFinite isNaN ' +
  'parseFloat parseInt undefined'
).split(' ');

/** Per global object the members that exist. A member that is not listed is refused. */
export const STATIC_MEMBERS: Readonly<Record<string, readonly string[]>> = {
  Math: 'E LN10 LN2 LOG10E LOG2E PI SQRT1_2 SQRT2 abs acos asin atan atan2 ceil cos exp floor log max min pow random round sign sin sqrt tan'.split(
    ' ',
  ),
  JSON: ['parse', 'stringify'],
  Object:
    'assign create defineProperties defineProperty entries fromEntries getOwnPropertyDescriptor getOwnPropertyDescriptors getOwnPropertyNames getPrototypeOf keys setPrototypeOf values'.split(
      ' ',
    ),
  Array: ['isArray'],
  String: ['fromCharCode'],
  Number: ['MAX_VALUE', 'MIN_VALUE', 'NaN', 'NEGATIVE_INFINITY', 'POSITIVE_INFINITY'],
  Date: ['now', 'parse'],
  ArrayBuffer: [],
  Promise: ['all', 'reject', 'resolve'],
  Uint8Array: [],
  Int32Array: [],
  Float32Array: [],
  Float64Array: [],
};

/** Methods that are missing on strings, arrays, typed arrays, numbers and objects. */
export const MISSING_METHODS: readonly string[] = (
  'at codePointAt copyWithin findLast findLastIndex flat flatMap isPrototypeOf lastIndexOf localeCompare matchAll ' +
  'normalize propertyIsEnumerable reduceRight search toExponential toLocaleLowerCase toLocaleString toLocaleUpperCase ' +
  'toPrecision trimEnd trimStart'
).split(' ');

/** lastIndexOf exists on strings only; the gate cannot tell a string from an array, so it refuses both. */
export const TREACHEROUS_METHODS: Readonly<Record<string, string>> = {
  toFixed: 'it truncates: (1.7).toFixed(0) is "1". Round with Math.round to a whole number of small units first',
};
