/* The room that the controller runs: see each file. Imports nothing from outside. */
export * from './phase.js';
export * from './recipe.js';
export * from './signals.js';
export * from './codes.js';
