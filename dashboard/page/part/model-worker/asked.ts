/* What the page and its model worker say to each other. A worker holds one model; lengths are the file's own, in mm as far as the file says so. */
import type {
  Choice,
  LengthUnit,
  NotPlated,
  PartMeasure,
  RegionSummary,
  Taken,
  Triple,
} from '@bathkeeper/shared-core/part';
import type { ModelBody, ModelCrowding } from '@bathkeeper/shared-core/trade';
import type { PicturePiece } from './picture-mesh.js';

export type Asked =
  | { readonly kind: 'read'; readonly file: File }
  | { readonly kind: 'make-bell' }
  /** How much is plated; of several that wait only the newest is answered. */
  | { readonly kind: 'share'; readonly notPlated: NotPlated }
  /** The piece that lies first on a ray. */
  | { readonly kind: 'point'; readonly from: Triple; readonly direction: Triple }
  /** Shows a piece as pointed at; null: none. */
  | { readonly kind: 'show'; readonly piece: Piece | null }
  /** All that a picture is drawn from goes there, and each change of it, until somebody says to stop. */
  | { readonly kind: 'draw'; readonly into: PictureInlet }
  | { readonly kind: 'stop-drawing' };

/** The picture's end of a channel: what millions of corners pass does not pass the page. */
export interface PictureInlet {
  postMessage(news: PictureNews, handedOver: Transferable[]): void;
}

export type PictureNews =
  /** A picture begins anew. */
  | { readonly kind: 'begin'; readonly extent: Extent }
  | { readonly kind: 'piece'; readonly piece: PicturePiece }
  /** One byte a corner of the picture, through all its pieces: bit 0 masked, bit 1 pointed at. */
  | { readonly kind: 'states'; readonly states: Uint8Array };

export interface Piece {
  readonly kind: Choice['kind'];
  readonly triangle: number;
}

/** What a picture must make room for, however the part is turned. */
export interface Extent {
  readonly middleMm: Triple;
  readonly radiusMm: number;
}

/** Instead of a file's format: the demonstration bell. */
export const MADE_HERE = 'made here';

export interface ModelReport {
  /** As the reader names it, or `MADE_HERE`. */
  readonly format: string;
  readonly unit: LengthUnit;
  readonly isUnitFromFile: boolean;
  /** What was left out or taken for granted, as whole sentences. */
  readonly notes: readonly string[];
  readonly measure: PartMeasure;
  readonly extent: Extent;
  /** The largest ones, the largest first. */
  readonly shells: readonly RegionSummary[];
  readonly regions: readonly RegionSummary[];
  readonly regionCount: number;
}

export type Stage = 'reading' | 'measuring' | 'comparing';

export interface Shared {
  readonly notPlated: NotPlated;
  readonly platedAreaMm2: number;
  readonly notPlatedAreaMm2: number;
  /** In the order of the report's lists. */
  readonly shells: readonly Taken[];
  readonly regions: readonly Taken[];
}

/** Where current crowds and where it does not reach, as places to be marked, of what is plated. */
export interface CrowdingMarks {
  /** x, y, z of both ends of each sharp edge, the sharpest first where there are too many to draw. */
  readonly edges: Float32Array;
  readonly edgeLengthMm: number;
  readonly edgeCount: number;
  /** x, y, z of each sample of what is plated; all stand for the same area. */
  readonly places: Float32Array;
  readonly rodDiameterMm: Float32Array;
  readonly openShare: Float32Array;
}

export type Told =
  | { readonly kind: 'progress'; readonly stage: Stage; readonly share: number }
  | { readonly kind: 'refused'; readonly message: string }
  | { readonly kind: 'measured'; readonly report: ModelReport }
  | { readonly kind: 'shared'; readonly shared: Shared }
  | { readonly kind: 'pointed'; readonly triangle: number | undefined; readonly isPlated: boolean }
  /** `shape`: what a plan takes of it, beside area and volume. */
  | { readonly kind: 'crowding'; readonly marks: CrowdingMarks; readonly shape: ModelBody & ModelCrowding }
  /** A picture was sent, of so many of the model's triangles: fewer where it is too fine. */
  | { readonly kind: 'picture'; readonly drawnTriangles: number };
