/*
 * What every part of a plan starts from: the request with its gaps filled as usual, each value knowing whether anybody gave it. Made once by
 * plan.ts, read by the figures. Computes sums over the parts and nothing else.
 */
import { conductivityAt } from '../bath-physics/conductivity.js';
import type { Agitation, BathProfile } from '../baths/bath-profile.js';
import { bathProfile } from '../baths/bath-list.js';
import { bathLoad } from '../../part/parts-in-bath.js';
import { given, type Given } from '../figure.js';
import { recipeDefaults } from '../recipe-defaults.js';
import type { PlanRequest } from './plan-request.js';

export interface PlanBasis {
  readonly request: PlanRequest;
  readonly profile: BathProfile;
  readonly pieces: number;
  /** Of all pieces. */
  readonly areaDm2: number;
  /** What all pieces push aside; undefined where that of any is not known. */
  readonly displacedCm3: number | undefined;
  readonly densityAmpsPerDm2: Given;
  readonly cathodeEfficiency: Given;
  readonly bathCelsius: Given;
  readonly roomCelsius: Given;
  readonly agitation: Agitation;
  /** From anode to part. */
  readonly gapMm: Given;
  /** At 25 °C, and at the bath's temperature. */
  readonly conductivityAt25: Given;
  readonly siemensPerMetre: number;
  readonly strikeDensityAmpsPerDm2: Given;
  readonly strikeMinutes: Given;
  readonly rampMinutes: Given;
  /** 0 where nobody spoke of finishing. */
  readonly finishingMicrometres: Given;
}

/** Where nobody names a bath. */
const usualBath = 'bright-copper';

/** Painted, unless somebody says that the part is metal already. */
export function isPainted(request: PlanRequest): boolean {
  return request.paint?.dryMicrometres !== 0;
}

export function profileOf(request: PlanRequest): BathProfile | undefined {
  return bathProfile(request.bath ?? usualBath);
}

/** A room in which people work. Common practice, no source. */
const usualRoomCelsius = 20;
/** The demonstration's tank. Common practice, no source. */
const usualGapMm = 150;

export function planBasis(request: PlanRequest, profile: BathProfile): PlanBasis {
  const { pieces, areaDm2 } = bathLoad(request.parts.map((part) => ({ ...part, volumeCm3: part.volumeCm3 })));
  const densityAsked =
    request.currentAmps === undefined ? request.currentDensityAmpsPerDm2 : request.currentAmps / areaDm2;
  const bathCelsius = given(request.bathCelsius, profile.bathCelsius.usual);
  const conductivityAt25 = given(request.conductivitySiemensPerMetre, profile.conductivitySiemensPerMetre.usual);
  return {
    request,
    profile,
    pieces,
    areaDm2,
    displacedCm3: request.parts.reduce<number | undefined>((sum, part) => {
      const each = part.displacedCm3 ?? part.volumeCm3;
      return sum === undefined || each === undefined ? undefined : sum + part.pieces * each;
    }, 0),
    densityAmpsPerDm2: given(densityAsked, profile.cathodeDensityAmpsPerDm2.usual),
    cathodeEfficiency: given(request.cathodeEfficiency, profile.cathodeEfficiency.usual),
    bathCelsius,
    roomCelsius: given(request.roomCelsius, usualRoomCelsius),
    agitation: request.agitation ?? 'moving',
    gapMm: given(request.anodes?.gapMm, usualGapMm),
    conductivityAt25,
    siemensPerMetre: conductivityAt(conductivityAt25.value, profile.conductivityPerKelvin, bathCelsius.value),
    strikeDensityAmpsPerDm2: given(request.strikeDensityAmpsPerDm2, profile.strikeDensityAmpsPerDm2.usual),
    strikeMinutes: given(request.strikeMinutes, recipeDefaults.strikeMinutes),
    rampMinutes: given(request.rampMinutes, recipeDefaults.rampMinutes),
    finishingMicrometres: given(request.finishingMicrometres, 0),
  };
}
