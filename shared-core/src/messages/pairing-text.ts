/*
 * A controller's secret as a person carries it from the controller's console to the dashboard: eight groups of eight characters.
 * Written by the firmware's bring-up, read by the dashboard's pairing. It draws no secret and keeps none.
 *
 * Symbols and check symbols are those of Douglas Crockford's Base 32 (crockford.com/base32.html): no I, L, O or U among the digits;
 * I and L typed are read as 1, O as 0; capitals do not matter. Each group is four bytes as seven digits, then its check symbol: the
 * number modulo 37. The group's place is added first, so that two groups changed over are noticed as well.
 */

const SYMBOLS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U';
const GROUPS = 8;
const GROUP_DIGITS = 7;

function checkSymbol(value: number, place: number): string {
  return SYMBOLS.charAt((value + place) % 37);
}

/**
 * The text of a secret of 64 hexadecimal digits. Example: 64 zeros give
 * `00000000-00000001-00000002-00000003-00000004-00000005-00000006-00000007`.
 */
export function pairingText(secret: string): string {
  let text = '';
  for (let place = 0; place < GROUPS; place++) {
    const value = parseInt(secret.substr(place * 8, 8), 16);
    if (place) text += '-';
    for (let shift = 30; shift >= 0; shift -= 5) text += SYMBOLS.charAt((value >>> shift) & 31);
    text += checkSymbol(value, place);
  }
  return text;
}

/** What was typed: the secret as 64 hexadecimal digits, or everything that is wrong with it, each a whole sentence. */
export type ReadPairingText =
  | { readonly secret: string; readonly problems?: undefined }
  | { readonly secret?: undefined; readonly problems: readonly string[] };

/** Reads a typed text; hyphens and spaces between the characters mean nothing. Example: 64 zeros as above give 64 zeros. */
export function readPairingText(typed: string): ReadPairingText {
  let symbols = '';
  for (let at = 0; at < typed.length; at++) {
    const character = typed.charAt(at).toUpperCase();
    if (character === 'I' || character === 'L') symbols += '1';
    else if (character === 'O') symbols += '0';
    else if (character > ' ' && character !== '-' && character.charCodeAt(0) !== 0xa0) symbols += character;
  }
  const expected = GROUPS * (GROUP_DIGITS + 1);
  if (symbols.length !== expected) {
    return {
      problems: [
        'The secret has ' +
          symbols.length +
          ' characters, expected ' +
          expected +
          ': eight groups of eight, as the console shows it.',
      ],
    };
  }
  const problems: string[] = [];
  let secret = '';
  for (let place = 0; place < GROUPS; place++) {
    const group = symbols.substr(place * (GROUP_DIGITS + 1), GROUP_DIGITS + 1);
    let value = 0;
    let strange = '';
    for (let at = 0; at < GROUP_DIGITS; at++) {
      const digit = SYMBOLS.indexOf(group.charAt(at));
      if (digit < 0 || digit > 31) strange = group.charAt(at);
      value = value * 32 + digit;
    }
    if (strange) {
      problems.push(
        'Group ' + (place + 1) + ' (' + group + ') holds "' + strange + '", which is no character of a secret.',
      );
    } else if (value > 0xffffffff || group.charAt(GROUP_DIGITS) !== checkSymbol(value, place)) {
      problems.push(
        'Group ' +
          (place + 1) +
          ' (' +
          group +
          ') is mistyped: it does not fit its last character. Compare it with the console.',
      );
    }
    const digits = value.toString(16);
    secret += '00000000'.substr(digits.length) + digits;
  }
  return problems.length ? { problems: problems } : { secret: secret };
}
