/*
 * HD44780 character display (Hitachi data sheet) behind a PCF8574 port expander at 0x27, in its four-bit mode: one line that is
 * brought up to date a few characters at a time. Written by the supply that is set by hand. It only takes bytes, so a display that
 * is not there is noticed by the expander's missing acknowledge, and one that lost its power by nothing: it is set up again by turns.
 *
 *   P0 RS · P1 RW · P2 E · P3 backlight · P4-P7 D4-D7 · SDA SCL I2C, at most 100 kHz (PCF8574 data sheet)
 */
import type { TwoWireBus } from '../ports.js';

const ADDRESS = 0x27;
const BACKLIGHT = 8;
const ENABLE = 4;
const IS_CHARACTER = 1;
const LINE_LENGTH = 16;
/** Characters a step. */
const CHARACTERS_A_STEP = 4;
/** Into four-bit mode from any state, two lines, display on without a cursor, move right, cursor to the line's start. */
const SET_UP = [0x33, 0x32, 0x28, 0x0c, 0x06, 0x80];

export interface DisplayLine {
  /** One step's share of showing the text; `isAnew` begins with the display's set-up. Throws when the expander does not answer. */
  show(text: string, isAnew: boolean): void;
}

export function displayLine(bus: TwoWireBus): DisplayLine {
  let shown = '';
  let next = LINE_LENGTH;

  /** A byte as two half-bytes; the display takes each when enable falls. 100 kHz is slower than its 37 microseconds a byte. */
  const put = function (byte: number, isCharacter: number): void {
    const high = (byte & 0xf0) | BACKLIGHT | isCharacter;
    const low = ((byte << 4) & 0xf0) | BACKLIGHT | isCharacter;
    bus.writeTo(ADDRESS, high | ENABLE, high, low | ENABLE, low);
  };

  return {
    show: function (text: string, isAnew: boolean): void {
      if (isAnew || text !== shown) {
        shown = text;
        next = -1;
      }
      if (next < 0) {
        for (let i = 0; i < SET_UP.length; i++) put(SET_UP[i]!, 0);
        next = 0;
        return;
      }
      // Nothing to show: it is only asked whether it is there.
      if (next === LINE_LENGTH) bus.writeTo(ADDRESS, BACKLIGHT);
      for (let i = 0; i < CHARACTERS_A_STEP && next < LINE_LENGTH; i++) {
        put(next < text.length ? text.charCodeAt(next) : 32, IS_CHARACTER);
        next++;
      }
    },
  };
}
