/* The part that goes into the bath, as its model tells: mesh, measures, selections, places where current crowds. Never part of the controller. */
export * from './part-measure.js';
export * from './measure-part.js';
export * from './mesh.js';
export { MeshBuilder } from './mesh-builder.js';
export * from './model-size.js';
export * from './selection.js';
export * from './plane-cut.js';
export * from './sharp-edges.js';
export * from './crowding.js';
export * from './deposit-distribution.js';
export * from './simple-shapes.js';
export * from './part-scale.js';
export * from './parts-in-bath.js';
export * from './smooth-regions.js';
export * from './not-plated.js';
export { firstTriangleOnRay, type Triple } from './ray-triangle.js';
export { noShell } from './shells.js';
export type { Edges } from './edges.js';
