/*
 * Likely causes of a drift, the likeliest first, from which quantity moved and what the others did meanwhile. The order is our own practice after
 * the trade's fault tables (Metal Finishing Guidebook 2013, p. 279, table X); no figures stand behind it. Asked when a finding is made. Pure.
 */
import { SupplyKind } from '../../control/signals.js';
import type { DriftCause } from './drift-finding.js';

export interface CurrentSigns {
  readonly direction: 'up' | 'down';
  readonly isAtCeiling: boolean;
  readonly supplyKind: SupplyKind;
}

/** A supply at its ceiling gives less because the cell asks more; else it is the supply or what it is told. */
export function currentCauses({ direction, isAtCeiling, supplyKind }: CurrentSigns): DriftCause[] {
  const own: DriftCause[] =
    supplyKind === SupplyKind.byHand
      ? ['hand-set', 'supply-output', 'shunt-or-sense']
      : ['supply-output', 'set-point-way', 'shunt-or-sense'];
  return direction === 'down' && isAtCeiling
    ? ['supply-at-ceiling', 'clip-or-contact', 'anode-film-or-worn', 'level-low']
    : own;
}

/** `isSudden`: within minutes. `celsiusPerHour` of the bath, which resistance follows the other way. */
export function resistanceCauses(direction: 'up' | 'down', isSudden: boolean, celsiusPerHour: number): DriftCause[] {
  if (direction === 'up') {
    const slow: DriftCause[] = ['anode-film-or-worn', 'level-low', 'clip-or-contact'];
    if (celsiusPerHour < -0.5) slow.push('bath-colder');
    return isSudden ? ['clip-or-contact', 'slip-ring', 'anode-film-or-worn', 'level-low'] : slow;
  }
  if (isSudden) return ['anode-moved-nearer', 'clip-or-contact', 'shunt-or-sense'];
  return celsiusPerHour > 0.5 ? ['bath-warmer', 'water-evaporated'] : ['water-evaporated', 'anode-moved-nearer'];
}

/** Copper's current and the room warm a bath of tens of litres by about 2 K an hour at most; faster is a heater. */
const HEATER_CELSIUS_PER_HOUR = 3;

export function temperatureCauses(celsiusPerHour: number): DriftCause[] {
  if (celsiusPerHour < 0) return ['heater-off', 'bath-colder'];
  return celsiusPerHour > HEATER_CELSIUS_PER_HOUR
    ? ['heater-sticks', 'room-or-current-heat']
    : ['room-or-current-heat', 'heater-sticks'];
}

export function rotationCauses(direction: 'up' | 'down'): DriftCause[] {
  return direction === 'up' ? ['part-brushes', 'coupling-slips', 'motor-supply'] : ['motor-supply', 'coupling-slips'];
}

export function supplyCauses(isAtCeiling: boolean): DriftCause[] {
  const cell: DriftCause[] = ['anode-film-or-worn', 'clip-or-contact', 'level-low', 'bath-colder'];
  return isAtCeiling ? ['supply-at-ceiling', ...cell] : cell;
}
