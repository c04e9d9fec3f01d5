/*
 * Makes a Node context as poor as the interpreter: takes away what Espruino 2v29 lacks (each name was asked of its
 * Linux build) and makes the treacherous calls throw, those that work there and give another answer. Run once for each boot, before the bundle.
 */

/** Runs inside the context. One name a line would be a page: grouped by owner. */
export const missingInInterpreter = `(function () {
  'use strict';
  function take(owner, names) { names.split(' ').forEach(function (name) { delete owner[name]; }); }
  function refuse(owner, name, why) {
    Object.defineProperty(owner, name, { configurable: true, writable: true, value: function () { throw new Error(name + ': ' + why); } });
  }
  var typed = Object.getPrototypeOf(Uint8Array);

  refuse(Number.prototype, 'toFixed', 'truncates in the interpreter; round first and put the digits together');
  ['exec', 'test'].forEach(function (name) { refuse(RegExp.prototype, name, 'regular expressions are not to be trusted in the interpreter'); });
  refuse(String.prototype, 'match', 'regular expressions are not to be trusted in the interpreter');
  [Array.prototype, String.prototype].forEach(function (prototype) {
    Object.getOwnPropertyNames(prototype).forEach(function (name) {
      if (typeof prototype[name] !== 'function' || name === 'constructor') return;
      ['call', 'apply', 'bind'].forEach(function (way) { refuse(prototype[name], way, 'missing on the methods of a prototype in the interpreter'); });
    });
  });
  var floor = Math.floor;
  Math.round = function (value) { return value < 0 ? -floor(-value + 0.5) : floor(value + 0.5); };

  take(Array, 'from of fromAsync');
  take(typed, 'from of');
  take(Array.prototype, 'at copyWithin findLast findLastIndex lastIndexOf keys entries values flat flatMap reduceRight toLocaleString toReversed toSorted toSpliced with');
  take(typed.prototype, 'at copyWithin findLast findLastIndex lastIndexOf keys entries values reduceRight toLocaleString toReversed toSorted with');
  take(String.prototype, 'anchor at big blink bold codePointAt fontcolor fontsize fixed isWellFormed italics link localeCompare matchAll normalize search small strike sub sup toWellFormed trimStart trimLeft trimEnd trimRight toLocaleLowerCase toLocaleUpperCase');
  take(String, 'fromCodePoint raw');
  take(Number, 'isFinite isInteger isNaN isSafeInteger parseFloat parseInt');
  take(Number.prototype, 'toExponential toPrecision toLocaleString');
  take(Object, 'getOwnPropertySymbols hasOwn is preventExtensions seal freeze isExtensible isFrozen isSealed groupBy');
  take(Object.prototype, 'isPrototypeOf propertyIsEnumerable toLocaleString');
  take(Math, 'acosh asinh atanh cbrt expm1 clz32 cosh fround hypot imul log1p log2 log10 sinh tanh trunc f16round sumPrecise');
  take(Error, 'captureStackTrace isError stackTraceLimit');
  take(Promise, 'allSettled any race try withResolvers');
  take(Promise.prototype, 'finally');
  take(ArrayBuffer, 'isView');
  take(ArrayBuffer.prototype, 'slice resize transfer transferToFixedLength');
  take(DataView.prototype, 'getBigInt64 setBigInt64 getBigUint64 setBigUint64 getFloat16 setFloat16');
  take(RegExp, 'escape');
  take(JSON, 'rawJSON isRawJSON');
  take(Uint8Array, 'fromBase64 fromHex');
  take(Uint8Array.prototype, 'toBase64 toHex setFromBase64 setFromHex');
  take(Date, 'UTC');
  take(globalThis, 'Symbol AggregateError EvalError RangeError URIError Intl BigInt BigInt64Array BigUint64Array Map Set WeakMap WeakSet WeakRef FinalizationRegistry Proxy Reflect decodeURI encodeURI escape unescape SharedArrayBuffer Atomics WebAssembly console Iterator Float16Array DisposableStack AsyncDisposableStack SuppressedError');
})`;
