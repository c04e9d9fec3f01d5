/*
 * The section through the tank told in words, for those who hear it read instead of seeing it.
 * Called by the drawing; pure.
 */
import type { ControllerView } from '@bathkeeper/shared-core/messages';
import type { UnitSystem } from '@bathkeeper/shared-core/trade';
import type { Freshness } from '../words/age.js';
import { runChargeAmpereHours, thicknessMicrometresAt } from '../words/deposit.js';
import { ampsWords, celsiusWords, micrometresOf, voltsWords } from '../words/numbers.js';
import type { Mark } from './marks.js';
import { shaftWords } from './turning.js';

/** Example: "Section through the tank. Current at the shunt 18.4 A of 18.5 A permitted; …; nothing is marked." */
export function sectionWords(
  controller: ControllerView,
  fresh: Freshness,
  marks: readonly Mark[],
  units: UnitSystem = 'metric',
): string {
  const { live, run } = controller;
  if (live === null) return 'Section through the tank. No readings yet.';
  const shaft = shaftWords(live);
  const readings = [
    `current at the shunt ${ampsWords(live.cathodeCurrentAmps)} of ${ampsWords(live.permittedAmps)} permitted`,
    `${voltsWords(live.terminalVolts)} at the terminals`,
    `bath ${celsiusWords(live.bathTemperatureCelsius, units)} at the probe`,
    `shaft ${shaft.rate}, ${shaft.pulse}`,
    `contactor ${live.isContactorClosed ? 'closed' : 'open'}`,
  ];
  if (run) {
    const reached = thicknessMicrometresAt(run.recipe, runChargeAmpereHours(run, live));
    readings.push(`${micrometresOf(reached, run.recipe.averageThicknessMicrometres, units)} on the part`);
  }
  const old = fresh === 'live' ? '' : ' These readings are old.';
  const clauses = marks.flatMap(({ found }) => found.map(({ clause }) => clause));
  const wrong = clauses.length === 0 ? 'nothing is marked' : `marked: ${clauses.join('; ')}`;
  return `Section through the tank.${old} ${readings.join('; ')}; ${wrong}.`;
}
