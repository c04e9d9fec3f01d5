/*
 * Contacts for a painted start: how many, and what each carries. Called by plan.ts where somebody measured the paint or counted contacts; a sheet
 * resistance is never guessed, since paints differ by a factor of a thousand.
 */
import { copperExchangeAmpsPerM2, kineticSlopeOhmM2 } from '../bath-physics/distribution.js';
import { contactDropVoltsMax, contactWatts } from '../conductors/contact.js';
import {
  areaServedM2,
  contactsFor,
  contactShare,
  coveringMicrometres,
  farEndShare,
  paintNumber,
  paintNumberMax,
  wayForPaintNumber,
} from '../conductors/painted-layer.js';
import { type Figure, input, inputOf } from '../figure.js';
import { copper } from '../metals.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';

export interface PaintedStartFigures {
  readonly contactsEach: Figure;
  readonly strikeAmpsPerContact: Figure;
  readonly plateAmpsPerContact: Figure;
  readonly wattsPerContact: Figure;
  /** These only with a measured sheet resistance. */
  readonly paintNumber?: Figure;
  readonly farEndPercent?: Figure;
  readonly atContactPercent?: Figure;
  /** Of copper only. */
  readonly coveringMicrometres?: Figure;
}

/** A clip on clean metal. Common practice, no source. */
export const usualContactMilliohms = 5;
/** What such a clip carries until it drops as much as a joint that is stopped and cleaned: 10 A. */
export const contactAmpsMax = (1000 * contactDropVoltsMax) / usualContactMilliohms;

/** Contacts so that none carries more than that. Example: 31 A want 4. */
export function contactsCarrying(amps: number): number {
  return Math.ceil(amps / contactAmpsMax - 1e-9);
}
/** Copper's stands for every metal: one that deposits less readily, as nickel does (from memory), makes the electrode resist more, and fewer contacts would do. */
const exchangeInput = {
  label: 'Exchange current, copper’s',
  value: copperExchangeAmpsPerM2 / 100,
  unit: 'A/dm²' as const,
  isAssumed: true,
};
const strip = 'Tobias and Wijsman 1953, from memory; a strip fed at one end';

export function paintedStartFigures(basis: PlanBasis, deposit: DepositFigures): PaintedStartFigures | undefined {
  const { request } = basis;
  const { sheetOhmsPerSquare, contacts } = request.paint ?? {};
  if (sheetOhmsPerSquare === undefined && contacts === undefined) return undefined;
  const largestM2 = Math.max(...request.parts.map((part) => part.areaDm2)) / 100;
  const strikeAmpsPerDm2 = Math.min(basis.strikeDensityAmpsPerDm2.value, deposit.setPointDensityAmpsPerDm2.value);
  const celsius = basis.bathCelsius.value;
  const areaOhmM2 =
    kineticSlopeOhmM2(strikeAmpsPerDm2 * 100, copperExchangeAmpsPerM2, celsius) +
    basis.gapMm.value / 1000 / basis.siemensPerMetre;

  const wayMetres =
    sheetOhmsPerSquare === undefined ? undefined : wayForPaintNumber(paintNumberMax, sheetOhmsPerSquare, areaOhmM2);
  const largestAmps = deposit.setPointDensityAmpsPerDm2.value * largestM2 * 100;
  const count =
    contacts ??
    Math.max(wayMetres === undefined ? 2 : contactsFor(largestM2, wayMetres), contactsCarrying(largestAmps));
  const sheet =
    sheetOhmsPerSquare === undefined ? [] : [input('Sheet resistance as measured', sheetOhmsPerSquare, 'Ω/sq')];
  const contactsEach: Figure = {
    label: 'Contacts on each piece',
    value: count,
    unit: '1',
    formula:
      contacts === undefined
        ? 'so many that no place is farther from one than ν = 1: area ÷ the hexagon that one serves, two at least; and so many that none carries more than a usual one can'
        : 'as they are',
    inputs: [
      ...sheet,
      input('Largest area of a piece', largestM2 * 100, 'dm²'),
      input('Bath and electrode resist', areaOhmM2, 'Ω·m²'),
      exchangeInput,
      ...(wayMetres === undefined ? [] : [input('Farthest way from a contact', wayMetres * 1000, 'mm')]),
      input('Current of the largest piece', largestAmps, 'A'),
      input('Most for a contact: 50 mV at 5 mΩ', contactAmpsMax, 'A'),
    ],
    source: `${strip}; exchange current and what a contact can carry: common practice, no source`,
  };
  const perContact = (label: string, amps: number): Figure => ({
    label,
    value: amps,
    unit: 'A',
    formula: 'current of the largest piece ÷ its contacts',
    inputs: [inputOf(contactsEach), input('Largest area of a piece', largestM2 * 100, 'dm²')],
    source: 'arithmetic; the contact nearest the anodes carries more',
  });
  const plateAmps = largestAmps / count;
  const ohms = usualContactMilliohms / 1000;
  const plateAmpsPerContact = perContact('Each contact, at the set-point', plateAmps);
  const figures = {
    contactsEach,
    strikeAmpsPerContact: perContact('Each contact, in the strike', (strikeAmpsPerDm2 * largestM2 * 100) / count),
    plateAmpsPerContact,
    wattsPerContact: {
      label: 'Heat of each contact',
      value: contactWatts(plateAmps, ohms),
      unit: 'W' as const,
      uncertainty: {
        low: contactWatts(plateAmps, 0.001),
        high: contactWatts(plateAmps, 0.05),
        because: 'a good contact has 1 mΩ, a bad one 50 mΩ; stop and clean one that drops 50 mV',
      },
      formula: 'current² × resistance of the contact',
      inputs: [
        inputOf(plateAmpsPerContact),
        { label: 'A contact', value: usualContactMilliohms, unit: 'mΩ' as const, isAssumed: true },
      ],
      source: 'Joule’s law',
    },
  };
  if (sheetOhmsPerSquare === undefined) return figures;
  // The way that so many contacts leave, from the hexagon that each serves.
  const leftMetres = Math.sqrt(largestM2 / count / areaServedM2(1));
  const nu = paintNumber(leftMetres, sheetOhmsPerSquare, areaOhmM2);
  const number: Figure = {
    label: 'Paint number ν',
    value: nu,
    unit: '1',
    formula: 'farthest way from a contact × √(sheet resistance ÷ what bath and electrode resist)',
    inputs: [
      input('Farthest way from a contact', leftMetres * 1000, 'mm'),
      ...sheet,
      input('Bath and electrode resist', areaOhmM2, 'Ω·m²'),
    ],
    source: `${strip}. Up to 1 the far end keeps up`,
  };
  return {
    ...figures,
    paintNumber: number,
    farEndPercent: {
      label: 'Farthest from a contact, of the average',
      value: 100 * farEndShare(nu),
      unit: '%',
      formula: 'ν ÷ sinh ν',
      inputs: [inputOf(number)],
      source: strip,
    },
    atContactPercent: {
      label: 'At a contact, of the average',
      value: 100 * contactShare(nu),
      unit: '%',
      formula: 'ν × coth ν',
      inputs: [inputOf(number)],
      source: strip,
    },
    ...(basis.profile.metal === copper ? { coveringMicrometres: coveringFigure(leftMetres, areaOhmM2) } : {}),
  };
}

/** Of copper only: the resistivity of another deposit is not known here. */
function coveringFigure(wayMetres: number, areaOhmM2: number): Figure {
  return {
    label: 'Closed copper from which the paint no longer counts',
    value: coveringMicrometres(wayMetres, areaOhmM2),
    unit: 'µm',
    formula: 'resistivity of copper × way² ÷ what bath and electrode resist',
    inputs: [
      input('Farthest way from a contact', wayMetres * 1000, 'mm'),
      input('Bath and electrode resist', areaOhmM2, 'Ω·m²'),
    ],
    source: `${strip}; 58 MS/m (IEC 60028, from memory). The first copper grows in islands: take several times as much`,
  };
}
