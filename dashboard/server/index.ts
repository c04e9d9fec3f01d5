/* The dashboard for those who run it in lockstep: rehearsal, tests, benchmarks. */
export * from './clock.js';
export * from './dashboard.js';
export { recipeRow } from './commands/command-desk.js';
export { mqttPassword } from './commands/proof.js';
export { boardSettings, PAIRED_RIG } from './settings/board-settings.js';
export { duplexPair } from './broker/duplex-pair.js';
