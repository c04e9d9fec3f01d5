/* The room that the controller runs: see each file. Imports nothing from outside. */
export * from './phase.js';
export * from './recipe.js';
export * from './signals.js';
export * from './codes.js';
export * from './set-point.js';
export * from './recipe-check.js';
export { createRunState, NO_CEILING, type RunState } from './run-state.js';
export { RampState } from './ramp-progress.js';
export { polarityAmps } from './polarity.js';
export * from './output-gate.js';
export * from './looks.js';
export * from './conditions.js';
export * from './permissives.js';
export * from './charge.js';
export * from './supervisor.js';
export * from './journal.js';
