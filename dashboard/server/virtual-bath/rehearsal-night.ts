/*
 * From a plan to the night that is rehearsed: its recipe on the chosen rig, and a virtual bath that is as much like the plan's as the virtual one can be; where it
 * is not, a note says so. Called by the rehearsal's desk; plays nothing.
 */
import type { RigLimits } from '@bathkeeper/shared-core/control';
import type { RecipePreview } from '@bathkeeper/shared-core/messages';
import { copper, type Plan, recipeFromPlan, type RehearsalFaultAsked } from '@bathkeeper/shared-core/trade';
import { recipeRow } from '../commands/command-desk.js';
import { PAIRED_RIG } from '../settings/board-settings.js';
import type { FaultOfNight, NightAsked } from './rehearsed-night.js';
import { rehearsalFault } from './rehearsal-faults.js';

/** A bath so much above its room has a heater, which the virtual bath has not: its room is taken as warm as it. */
const HEATED_KELVIN = 8;
/** Beyond the longest run of the recipe: the finish, and somebody who does not come. */
const SPARE_SECONDS = 3 * 3600;

export interface NightOfPlan {
  readonly plan: Plan;
  readonly preview: RecipePreview;
  readonly night: NightAsked;
  readonly faults: readonly { readonly words: string; readonly afterHours: number }[];
  readonly notes: readonly string[];
}

/** `limits`: of the chosen rig; null: those of a new one. */
export function nightOfPlan(
  plan: Plan,
  limits: RigLimits | null,
  faults: readonly RehearsalFaultAsked[],
): NightOfPlan | { readonly refusals: readonly string[] } {
  const rig = limits ?? PAIRED_RIG;
  const { recipe, preview } = recipeFromPlan(plan, rig, 1, 0);
  if (recipe === undefined) return { refusals: preview.refusals };
  const unknown = faults.filter(({ name }) => rehearsalFault(name) === undefined);
  if (unknown.length > 0)
    return { refusals: unknown.map(({ name }) => `There is no fault called "${name}". Choose one of the list.`) };
  const { tank, notes } = tankOfPlan(plan, recipe.rotationPulsesPerMinute);
  return {
    plan,
    preview,
    faults: faults.map(({ name, afterMinutes }) => ({
      words: rehearsalFault(name)!.words,
      afterHours: afterMinutes / 60,
    })),
    notes,
    night: {
      rig,
      contacts: faults.flatMap(({ name }) => rehearsalFault(name)?.contact ?? []),
      recipeRow: recipeRow(recipe),
      tank,
      seed: 1,
      faults: faults.map(faultOfNight),
      plannedSeconds: preview.recipe.plannedSeconds,
      longestSeconds: recipe.longestSeconds + SPARE_SECONDS,
    },
  };
}

function faultOfNight({ name, afterMinutes, minutes }: RehearsalFaultAsked): FaultOfNight {
  const fault = rehearsalFault(name)!;
  const lasts = minutes === undefined ? Infinity : minutes * 60;
  return { name: fault.name, afterSeconds: afterMinutes * 60, seconds: fault.isMomentary === true ? undefined : lasts };
}

function tankOfPlan(
  plan: Plan,
  pulsesPerMinute: number,
): { readonly tank: NightAsked['tank']; readonly notes: readonly string[] } {
  const { request, profile, figures } = plan;
  const startCelsius = request.bathCelsius ?? profile.bathCelsius.usual;
  const roomCelsius = request.roomCelsius ?? 20;
  const isHeated = startCelsius - roomCelsius > HEATED_KELVIN;
  const notes: string[] = [];
  if (profile.metal !== copper)
    notes.push(
      `The virtual bath behaves like acid copper: its charge is right, and ${profile.metal.name} is computed from it; how the paint closes and what voltage it takes is copper's.`,
    );
  if (isHeated) notes.push('The virtual bath has no heater: its room is taken as warm as the bath.');
  const volumeLitres = figures.tank.bathLitres?.value;
  if (volumeLitres === undefined)
    notes.push('Nobody gave the volume of the bath: 60 L are taken, and it warms as they do.');
  return {
    notes,
    tank: {
      areaDm2: figures.deposit.areaDm2.value,
      cathodeEfficiency: request.cathodeEfficiency ?? profile.cathodeEfficiency.usual,
      conductivitySiemensPerMetre: request.conductivitySiemensPerMetre ?? profile.conductivitySiemensPerMetre.usual,
      startCelsius,
      roomCelsius: isHeated ? startCelsius : roomCelsius,
      ...(pulsesPerMinute > 0 && { pulsesPerMinute }),
      ...(volumeLitres !== undefined && { volumeLitres }),
      ...(request.paint?.sheetOhmsPerSquare !== undefined && { paintOhmsPerSquare: request.paint.sheetOhmsPerSquare }),
    },
  };
}
