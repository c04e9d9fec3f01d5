/*
 * From where the part is looked at, and the ray through a place of the picture. Pure: the picture draws with it, the page points with it.
 */
import type { Triple } from '@bathkeeper/shared-core/part';
import type { Extent } from '../model-worker/asked.js';

export type UpAxis = 'y' | 'z';

export interface View {
  /** Turned around the upright axis, 0: from the front. */
  readonly aroundDegrees: number;
  /** From above: positive. */
  readonly aboveDegrees: number;
  /** 1: the whole part fills the picture. */
  readonly magnification: number;
  readonly up: UpAxis;
}

export const firstView: View = { aroundDegrees: 25, aboveDegrees: 12, magnification: 1, up: 'z' };

/** The angle that the picture takes in, from its lower to its upper edge. */
export const FIELD_DEGREES = 26;

export interface Camera {
  readonly place: Triple;
  readonly target: Triple;
  readonly up: Triple;
  readonly nearMm: number;
  readonly farMm: number;
}

/** `widthToHeight` of the picture: a narrow one is looked at from further away. */
export function cameraOf(view: View, extent: Extent, widthToHeight: number): Camera {
  const target = extent.middleMm;
  const radius = Math.max(extent.radiusMm, 1e-6);
  const half = Math.tan((FIELD_DEGREES * Math.PI) / 360) * Math.min(1, widthToHeight);
  const distance = (radius / Math.sin(Math.atan(half))) * (1.02 / view.magnification);
  const around = (view.aroundDegrees * Math.PI) / 180;
  const above = (view.aboveDegrees * Math.PI) / 180;
  const level = Math.cos(above);
  const [right, back, up] = [Math.sin(around) * level, -Math.cos(around) * level, Math.sin(above)];
  const away: Triple = view.up === 'z' ? [right, back, up] : [right, up, -back];
  return {
    place: [target[0] + away[0] * distance, target[1] + away[1] * distance, target[2] + away[2] * distance],
    target,
    up: view.up === 'z' ? [0, 0, 1] : [0, 1, 0],
    nearMm: Math.max(distance - radius * 1.05, distance / 1000),
    farMm: distance + radius * 1.05,
  };
}

/** The direction of the ray from the camera through a place of the picture: x from -1 (left) to 1, y from -1 (below) to 1. */
export function rayThrough(camera: Camera, x: number, y: number, widthToHeight: number): Triple {
  const ahead = unit(minus(camera.target, camera.place));
  const right = unit(cross(ahead, camera.up));
  const up = cross(right, ahead);
  const half = Math.tan((FIELD_DEGREES * Math.PI) / 360);
  return [0, 1, 2].map(
    (axis) => ahead[axis]! + right[axis]! * x * half * widthToHeight + up[axis]! * y * half,
  ) as unknown as Triple;
}

/** Turned by hand: never over the pole, where left and right would change places. */
export function turned(view: View, aroundDegrees: number, aboveDegrees: number): View {
  return {
    ...view,
    aroundDegrees: (view.aroundDegrees + aroundDegrees) % 360,
    aboveDegrees: Math.min(88, Math.max(-88, view.aboveDegrees + aboveDegrees)),
  };
}

export function magnified(view: View, times: number): View {
  return { ...view, magnification: Math.min(20, Math.max(0.5, view.magnification * times)) };
}

function minus(one: Triple, other: Triple): Triple {
  return [one[0] - other[0], one[1] - other[1], one[2] - other[2]];
}

function cross(one: Triple, other: Triple): Triple {
  return [
    one[1] * other[2] - one[2] * other[1],
    one[2] * other[0] - one[0] * other[2],
    one[0] * other[1] - one[1] * other[0],
  ];
}

function unit(one: Triple): Triple {
  const length = Math.hypot(...one) || 1;
  return [one[0] / length, one[1] / length, one[2] / length];
}
