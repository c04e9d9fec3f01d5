/* Packages of meshes that come without types. */
declare module 'bunny' {
  export const positions: number[][];
  export const cells: number[][];
}
declare module 'icosphere' {
  export default function icosphere(subdivisions: number): { positions: number[][]; cells: number[][] };
}
declare module 'icomesh' {
  export default function icomesh(order: number): { vertices: Float32Array; triangles: Uint16Array | Uint32Array };
}
