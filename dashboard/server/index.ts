/* The dashboard for those who run it in lockstep: rehearsal, tests, benchmarks. */
export * from './clock.js';
export * from './dashboard.js';
export { recipeRow } from './commands/command-desk.js';
export { mqttPassword } from './commands/proof.js';
export { boardSettings, PAIRED_RIG } from './settings/board-settings.js';
export { duplexPair } from './broker/duplex-pair.js';
export { alarmTexts } from './watch/alarm-texts.js';
export type { DriftShelf } from './watch/drift-watch.js';
export { openWatchman, type RaisedAlarms, type WatchedBook } from './watch/watchman.js';
