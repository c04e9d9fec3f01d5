/*
 * A thickness that somebody claims for one wall, against what the charge can deposit. Above Faraday's law it is refused, with the sum, and with what may
 * have been measured instead. Called by plan.ts.
 */
import { depositGramsPerAmpereHour, depositMassGrams, depositThicknessMicrometres } from '../faraday.js';
import { significant } from '../shown.js';
import type { DepositFigures } from './deposit-figures.js';
import type { DistributionFigures } from './distribution-figures.js';
import { dryPaintMicrometres } from './paint-figures.js';
import type { PlanBasis } from './plan-basis.js';

/** Metals differ by half a percent in the density that tables print; below that nothing is refused. */
const tolerance = 0.005;

/** Whole sentences with the sum; undefined where nothing is claimed, or where Faraday allows it. */
export function claimRefusal(
  basis: PlanBasis,
  deposit: DepositFigures,
  distribution: DistributionFigures,
): string | undefined {
  const claimed = basis.request.claimedThicknessMicrometres;
  const { metal } = basis.profile;
  const { areaDm2 } = basis;
  const charge = deposit.chargeAmpereHours.value;
  const mostGrams = depositMassGrams(charge, metal);
  const most = depositThicknessMicrometres(charge, areaDm2, metal);
  if (claimed === undefined || claimed <= most * (1 + tolerance)) return undefined;
  const n = (value: number): string => significant(value, 4);
  const factor = claimed / most;
  const paint = dryPaintMicrometres(basis).value;
  const density = deposit.setPointDensityAmpsPerDm2.value;
  return (
    `An average of ${n(claimed)} µm on one wall cannot be: ${n(charge)} Ah × ${n(depositGramsPerAmpereHour(metal))} g/Ah = ${n(mostGrams)} g at most, and ` +
    `${n(mostGrams)} g ÷ (${n(metal.densityGramsPerCm3)} g/cm³ × ${n(areaDm2)} dm²) = ${n(most)} µm. ` +
    `For ${n(claimed)} µm take ${n(deposit.plateHours.value * factor)} h at ${n(density)} A/dm², or ${n(density * factor)} A/dm² for ${n(deposit.plateHours.value)} h, or plate ${n(areaDm2 / factor)} dm². ` +
    `What was measured may be two walls between the callipers (${n(2 * most)} µm), the paint as well (${n(most + paint)} µm with ${n(paint)} µm of it), an edge (about ${n(distribution.edgeMicrometres.value)} µm), or an area that is smaller than believed. ` +
    `Weigh the part before and after: more than ${n(mostGrams)} g is impossible.`
  );
}
