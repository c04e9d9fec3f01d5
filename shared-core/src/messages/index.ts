/* The link between controller and dashboard, and between dashboard and page. */
export * from './pairing-text.js';
export * from './stored-row.js';
export * from './topics.js';
export * from './wire.js';
export type * from './api.js';
export { SHELVE_HOURS_MAX } from './api.js';
export * from './bring-up.js';
export type * from './keeping.js';
export * from './chart-marks.js';
export * from './series.js';
export * from './imported-run.js';
