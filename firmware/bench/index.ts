/* The virtual bath for those who run it: rehearsal, tests, benchmarks, the demonstration. Nothing here runs on a board. */
export { BATH_PROBE_ROM, type BathParts, type BenchSupplyKind, CLIP_ROMS } from './bath-parts.js';
export type { BathTruth } from './bath-truth.js';
export * from './board-settings.js';
export * from './bundle-file.js';
export * from './faults.js';
export * from './night-start.js';
export * from './peer/bath-network.js';
export * from './peer/outbox-ledger.js';
export * from './peer/stand-in-dashboard.js';
export { SeededNoise } from './seeded-noise.js';
export { ONE_SHOT_SECONDS, type ContactorMovement } from './board/safety-chain.js';
export type { BenchBoard } from './board/board-kind.js';
export { RealmPool } from './interpreter/realm.js';
export { Pin } from './board/pins.js';
export { UNANSWERED_SECONDS } from './interpreter/sockets.js';
export { MEMORY_BYTES } from './chips/mb85rc256v.js';
export { defaultTankOptions, type TankOptions } from './tank/tank-options.js';
export * from './virtual-bath.js';
