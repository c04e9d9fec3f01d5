/*
 * What to do, parted after its first sentence: that stands in front of everything else, since a person who was woken reads one line.
 * Used by the alarm list and the story on the page, and by the page behind a call's link. Pure; it writes no advice itself.
 */

/**
 * Example: `firstStep('Look at the part. Then the motor.')` is { first: 'Look at the part.', rest: 'Then the motor.' }.
 * A sentence ends at a point, a question or an exclamation mark that a capital letter or a digit follows.
 */
export function firstStep(checkFirst: string): { readonly first: string; readonly rest: string } {
  const words = checkFirst.trim();
  const end = /[.!?](?=\s+[A-Z0-9])/.exec(words);
  if (end === null) return { first: words, rest: '' };
  return { first: words.slice(0, end.index + 1), rest: words.slice(end.index + 1).trim() };
}
