/*
 * A painted start: how far from a contact the current still reaches through a layer that resists it. Called by the planner for the number of
 * contacts. Tobias and Wijsman 1953 (from memory; derivable): a strip that is fed at one end.
 */

/**
 * ν = L √(Rs / r). Rs: sheet resistance, Ω a square; r: what a square metre of bath and electrode resists, Ω·m²; L: the way from the contact, m.
 *
 * Example: 5 cm, 55 Ω/sq, 5e-3 Ω·m²: 5.24.
 */
export function paintNumber(wayMetres: number, sheetOhmsPerSquare: number, areaOhmM2: number): number {
  return wayMetres * Math.sqrt(sheetOhmsPerSquare / areaOhmM2);
}

/** Current density at the contact over the average: ν coth ν. Example: ν 2: 2.0746. */
export function contactShare(nu: number): number {
  return nu < 1e-4 ? 1 : nu / Math.tanh(nu);
}

/** Current density at the far end over the average: ν / sinh ν. Example: ν 2: 0.5514. */
export function farEndShare(nu: number): number {
  return nu < 1e-4 ? 1 : nu / Math.sinh(nu);
}

/** No place should be farther from a contact than this: the far end still gets 0.85 of the average there. */
export const paintNumberMax = 1;

/** Copper, Ω·mm²/m (IEC 60028, from memory); a deposit with brightener has some more. */
const copperOhmMm2PerMetre = 1 / 58;

/** Sheet resistance of a closed layer of copper in Ω a square. Example: 1 µm: 0.0172; 25 µm: 0.00069. */
export function copperSheetOhmsPerSquare(micrometres: number): number {
  return copperOhmMm2PerMetre / micrometres;
}

/** Closed copper in µm that carries to that way by itself, whatever is under it: from there the paint no longer counts. */
export function coveringMicrometres(wayMetres: number, areaOhmM2: number, nu: number = paintNumberMax): number {
  return (copperOhmMm2PerMetre * wayMetres ** 2) / (nu ** 2 * areaOhmM2);
}

/** The way in metres at which ν is reached. */
export function wayForPaintNumber(nu: number, sheetOhmsPerSquare: number, areaOhmM2: number): number {
  return nu * Math.sqrt(areaOhmM2 / sheetOhmsPerSquare);
}

/** A regular hexagon with that way from its middle to a corner, in m²: the area that one of many contacts serves. */
export function areaServedM2(wayMetres: number): number {
  return ((3 * Math.sqrt(3)) / 2) * wayMetres ** 2;
}

/** Contacts so that no place is farther than that from one: never fewer than two, since one may work loose. */
export function contactsFor(areaM2: number, wayMetres: number): number {
  return Math.max(2, Math.ceil(areaM2 / areaServedM2(wayMetres) - 1e-9));
}
