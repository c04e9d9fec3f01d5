/* What reading a model file gives and takes. Shared by the readers; bytes in, mesh out, no clock and no I/O. */
import type { LengthUnit, Mesh } from '@bathkeeper/shared-core/part';

export type ModelFormat = 'binary STL' | 'ASCII STL' | 'OBJ' | '3MF';

export interface ModelFile {
  readonly format: ModelFormat;
  /** In millimetres. */
  readonly mesh: Mesh;
  /** The unit that the file's numbers were read in; `scale` where a person gave millimetres a unit. */
  readonly unit: LengthUnit | 'scale';
  /** STL and OBJ say no unit: it was asked for or taken as millimetres. */
  readonly isUnitFromFile: boolean;
  /** What was left out or taken for granted, as whole sentences. */
  readonly notes: readonly string[];
}

export interface ReadOptions {
  /** How to read files that say no unit; a file that says one is read in its own. Default: millimetres. */
  readonly unit?: LengthUnit;
  /** Millimetres a unit of the file, whatever unit it says. */
  readonly millimetresPerUnit?: number;
  /** Called now and then with the share that was read, 0 to 1. May throw to stop. */
  readonly onProgress?: (share: number) => void;
}

/** What one format's reader gives: lengths as they stand in the file. */
export interface RawModel {
  readonly format: ModelFormat;
  readonly mesh: Mesh;
  readonly unit?: LengthUnit;
  readonly notes: readonly string[];
}

/**
 * The most triangles that a file of this size may hold: a million, and one for each 20 bytes beyond. Every real export
 * is larger (binary STL: 50 bytes a triangle); a file that names few corners very often would fill the memory.
 */
export function mostTriangles(bytes: number): number {
  return 1_000_000 + Math.floor(bytes / 20);
}
