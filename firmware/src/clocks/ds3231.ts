/* The clock chip of a program that is built for one, the default; the settings say whether it is fitted. Used by clock.ts. */
export { clockChipSeconds, clockChipSetter } from '../drivers/ds3231.js';
