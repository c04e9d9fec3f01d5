/* Who did something to an alarm: which names would be taken for a word of the program, and how a name reads in a sentence. */
import { describe, expect, it } from 'vitest';
import { byWords, nameFault, ON_THE_PAGE } from '@bathkeeper/shared-core/watch';

describe('a name of a person', () => {
  it.each([
    'Robin',
    'Page Miller',
    'Mr. Clock Senior',
    'Bath & Sons',
    'Zoë',
    "O'Neill",
    '李小龙',
    'רובין',
    // Zero width non-joiner, which Persian is written with, and joined emoji.
    'می\u200cخواهم',
    '👩\u200d🔧',
    '🦊',
    'Robin (night shift)',
    'R',
  ])('may be %s', (name) => {
    expect(nameFault(name)).toBeNull();
  });

  it.each([
    'page',
    'PAGE',
    ' the  page. ',
    'on the page',
    '“page”',
    'p\u200bage',
    // Fullwidth letters read as the usual ones (Unicode Standard Annex 15, NFKC).
    'ｐａｇｅ',
    'Bath',
    'at the bath',
    'clock',
    'Bathkeeper',
    'the dashboard',
    'nobody',
    'somebody who was removed',
  ])('is not %j, which the program says of itself or of nobody', (name) => {
    expect(nameFault(name)).toMatch(/^expected .*stands for the program itself or for nobody$/);
  });

  it('claims no call that was not answered', () => {
    for (const name of ['Robin (e-mail)', 'Robin (Web-Push)', 'Robin (webhook)'])
      expect(nameFault(name)).toMatch(/a call was answered/);
  });

  it.each(['Ro\nbin', 'Ro\u0000bin', 'Ro\u202ebin', 'Ro\u2066bin', '\u200fRobin', 'Ro\u2028bin'])(
    'breaks and turns no sentence, as %j would',
    (name) => {
      expect(nameFault(name)).toMatch(/one line, without control characters/);
    },
  );

  it('can be seen', () => {
    for (const name of ['', '  ', '\u200b', '\u2060\u00a0', '\u00ad'])
      expect(nameFault(name)).toMatch(/can be seen|in one line/);
  });

  it('is never a word that is kept where nobody is named', () => {
    for (const word of [ON_THE_PAGE, 'bath', 'clock']) expect(nameFault(word)).not.toBeNull();
  });
});

describe('who did it, in a sentence', () => {
  it.each([
    ['Robin', 'by Robin'],
    ['Robin (e-mail)', 'by Robin (e-mail)'],
    ['page', 'on the page'],
    ['', 'on the page'],
    ['bath', 'at the bath'],
    ['clock', 'by the clock'],
  ])('%j is %j', (who, words) => {
    expect(byWords(who)).toBe(words);
  });

  it('keeps a name from right to left from turning the time behind it', () => {
    // First strong isolate and pop directional isolate: Unicode Standard Annex 9, section 2.4.2.
    expect(byWords('רובין')).toBe('by \u2068רובין\u2069');
    expect(byWords('Robin רובין')).toBe('by \u2068Robin רובין\u2069');
  });
});
