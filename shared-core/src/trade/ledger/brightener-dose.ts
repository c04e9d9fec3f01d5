/*
 * Brightener by ampere-hours. Called by the bath's account for what is due. The rate is the supplier's or the person's own: no published figure was found, so
 * there is no usual one, and the Hull cell has the last word.
 */

/** Millilitres that a charge has used up: ampere-hours × mL/Ah, which is litres for 1000 Ah. Example: 250 Ah at 0.3 mL/Ah (L/kAh): 75. */
export function brightenerMillilitres(ampereHours: number, litresPerKiloampereHour: number): number {
  return ampereHours * litresPerKiloampereHour;
}
