/* The firmware's build as others may use it: tests, benchmarks, the virtual bath. The command is in command.ts. */
export * from './firmware-build.js';
export * from './function-coverage.js';
export { BOOT_FILE, programFiles, type ProgramFiles } from './boot-part.js';
export { fromTokens, inTokens, quotedBytes } from './tokens.js';
export { refusals, permittedGlobals, type Refusal } from './static-gate.js';
export { keptPropertyNames } from './kept-names.js';
export { LANGUAGE_GLOBALS, MISSING_METHODS, STATIC_MEMBERS } from './interpreter-surface.js';
