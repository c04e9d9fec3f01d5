/* What is asked of a picture, whether it is drawn in a worker of its own or, in browsers that cannot, on the page. */
import type { CrowdingMarks, PictureNews } from '../model-worker/asked.js';
import type { View } from './view.js';

/** Colours as the page has them, as #rrggbb. */
export interface Palette {
  readonly ink: string;
  readonly paper: string;
  readonly copper: string;
  readonly copperShade: string;
  readonly pencil: string;
  readonly water: string;
}

/** Which marks are shown, and from where on. */
export interface Shown {
  readonly edges: boolean;
  readonly rods: boolean;
  readonly recesses: boolean;
  /** Rods thinner than this, in the model's own lengths. */
  readonly rodDiameterMm: number;
  /** Places that see less of their surroundings than this share. */
  readonly openShare: number;
}

/** Everything beyond the plane is drawn as not plated. */
export interface DrawnPlane {
  readonly normal: readonly [number, number, number];
  readonly offset: number;
}

export type AskedOfPicture =
  | { readonly kind: 'size'; readonly width: number; readonly height: number; readonly pixelRatio: number }
  | { readonly kind: 'palette'; readonly palette: Palette }
  /** From there comes the part itself. */
  | { readonly kind: 'source'; readonly port: MessagePort }
  | PictureNews
  | { readonly kind: 'plane'; readonly plane: DrawnPlane | null }
  | { readonly kind: 'marks'; readonly marks: CrowdingMarks | null }
  | { readonly kind: 'shown'; readonly shown: Shown }
  | { readonly kind: 'view'; readonly view: View };

export type ToldByPicture =
  /** No WebGL on this device, or none left. */
  | { readonly kind: 'cannot-draw' }
  /** A picture with so many triangles, and with marks or without. */
  | { readonly kind: 'drawn'; readonly triangles: number; readonly hasMarks: boolean };
