/*
 * Who did something to an alarm, as it is kept: a person's name, or a word of the program where nobody is named. Says which names would be mistaken for such a word,
 * and how a `who` reads in a sentence. Used by the dashboard's requests, by the page and by the run sheet; pure.
 */

/** Kept where somebody pressed on the page and this device knew no name. */
export const ON_THE_PAGE = 'page';
export const PERSON_NAME_CHARACTERS_MAX = 60;

const EXPECTED = 'expected the name of a person';
/** What the program says of itself, or of nobody in particular. */
const OWN_WORDS =
  /^((on|at|by) )?(the )?(page|bath|clock|dashboard|controller|bathkeeper|nobody|anybody|somebody( .*)?|no one|without a name)$/;
/** How acknowledging from a call is signed: "Robin (e-mail)". */
const SIGNED_FROM_A_CALL = /\((web-push|e-mail|webhook)\)$/i;
/** Controls, ends of lines, and marks that turn the direction of what stands beside the name. What joins letters and emoji is none of them. */
const TURNS_OR_BREAKS = /[\p{Cc}\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/u;
const RIGHT_TO_LEFT = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefe\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;

/**
 * Why a name would lie or break the sentence that it stands in, for a person: "expected …". null: it may be kept.
 * Example: `nameFault('Page')` says that it stands for the program itself; `nameFault('Robin')` is null.
 */
export function nameFault(name: string): string | null {
  if (TURNS_OR_BREAKS.test(name)) return `${EXPECTED} in one line, without control characters`;
  if (name.replace(/[\p{Cf}\p{Z}]/gu, '') === '') return `${EXPECTED}, with a letter that can be seen`;
  // "The  PAGE." reads as "the page" does.
  const heard = name
    .normalize('NFKC')
    .replace(/\p{Cf}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
  if (OWN_WORDS.test(heard)) return `${EXPECTED}, not a word that stands for the program itself or for nobody`;
  if (SIGNED_FROM_A_CALL.test(name.normalize('NFKC').trim()))
    return `${EXPECTED}, without brackets at its end that say that a call was answered`;
  return null;
}

/**
 * Who did it, for a sentence. A name that is written from right to left does not turn the numbers beside it.
 * Examples: "by Robin", "on the page", "at the bath", "by the clock".
 */
export function byWords(who: string): string {
  switch (who) {
    // An older version did not write who.
    case '':
    case ON_THE_PAGE:
      return 'on the page';
    case 'bath':
      return 'at the bath';
    case 'clock':
      return 'by the clock';
    default:
      // First strong isolate and its end: Unicode Standard Annex 9, section 2.4.2.
      return RIGHT_TO_LEFT.test(who) ? `by \u2068${who}\u2069` : `by ${who}`;
  }
}
