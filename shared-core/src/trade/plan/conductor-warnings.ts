/*
 * What is unwise in cable, shunt, contacts and the start on the paint, in the trade's words. Called by plan-warnings.ts.
 */
import { acidConductivitySiemensPerMetre } from '../bath-physics/conductivity.js';
import { practiceOf } from '../bath-practice.js';
import { coolCableWattsPerMetre, hotCableWattsPerMetre, smallDropVolts } from '../conductors/cable.js';
import { contactDropVoltsMax } from '../conductors/contact.js';
import { paintNumberMax } from '../conductors/painted-layer.js';
import { monitorMillivoltsMax, shuntReserve } from '../conductors/shunt.js';
import { rampCaution, rotationCaution, strikeCaution } from '../recipe-cautions.js';
import { significant } from '../shown.js';
import { contactAmpsMax, contactsCarrying, usualContactMilliohms } from './painted-start-figures.js';
import { isPainted, type PlanBasis } from './plan-basis.js';
import type { PlanFigures } from './plan-figures.js';
import type { Say } from './plan-warnings.js';

export function sayOfConductors(say: Say, basis: PlanBasis, { deposit, conductors, voltage }: PlanFigures): void {
  const { cableWattsPerMetre, cableDropVolts, cableMm2, shuntRatedAmps } = conductors;
  const watts = cableWattsPerMetre.value;
  if (watts > coolCableWattsPerMetre * 1.001) {
    say(
      'cableWattsPerMetre',
      `${String(cableMm2.value)} mm² makes ${significant(watts, 3)} W a metre, more than ${String(coolCableWattsPerMetre)}: ${watts > hotCableWattsPerMetre ? 'hot under a cover, its insulation ages, its joints loosen, and loose joints start fires' : 'warm to the hand'}. Take a thicker cable; what it may carry where it lies is your local code’s business.`,
    );
  } else if (cableDropVolts.value > smallDropVolts * 1.001) {
    say(
      'cableDropVolts',
      `The cable loses ${significant(cableDropVolts.value, 2)} V, more than ${String(smallDropVolts)} V: the supply reaches its ceiling sooner. Take a thicker or shorter cable.`,
    );
  }
  if (shuntRatedAmps.value < deposit.setPointAmps.value * shuntReserve * 0.999) {
    say(
      'shuntRatedAmps',
      `A shunt of ${significant(shuntRatedAmps.value, 3)} A is small for ${significant(deposit.setPointAmps.value, 3)} A: it warms and drifts. Take one of at least ${significant(deposit.setPointAmps.value * shuntReserve, 3)} A.`,
    );
  }
  sayOfMonitor(say, conductors.shuntMillivolts.value);
  const measured = basis.request.conductivitySiemensPerMetre;
  const acid = basis.profile.composition.find((each) => each.name.startsWith('sulphuric acid'));
  const bound = acid === undefined ? Infinity : acidConductivitySiemensPerMetre(acid.max);
  if (measured !== undefined && measured > bound) {
    say(
      'bathMilliohms',
      `A conductivity of ${significant(measured, 3)} S/m is more than this bath’s acid alone has (${significant(bound, 3)} S/m): check the measurement and its unit. The ${significant(voltage.supplyVolts.value, 2)} V stand on it.`,
    );
  }
}

export function sayOfStart(say: Say, basis: PlanBasis, { deposit, paintedStart }: PlanFigures): void {
  const practice = practiceOf(basis.profile);
  const strike = Math.min(basis.strikeDensityAmpsPerDm2.value, deposit.setPointDensityAmpsPerDm2.value);
  if (isPainted(basis.request)) {
    say('recipe', strikeCaution(strike, practice));
    if (deposit.setPointDensityAmpsPerDm2.value > strike) say('recipe', rampCaution(basis.rampMinutes.value, practice));
  }
  const pulses = basis.request.rotationPulsesPerMinute;
  if (pulses !== undefined) say('recipe', rotationCaution(pulses));
  if (paintedStart === undefined) return;
  const { contactsEach, plateAmpsPerContact, paintNumber, farEndPercent, atContactPercent } = paintedStart;
  if (contactsEach.value < 2) {
    say(
      'contactsEach',
      'One contact on a piece is one that works loose in the night. Give each piece two at least, on different sides.',
    );
  }
  sayOfCrowdedContacts(say, contactsEach.value, plateAmpsPerContact.value);
  if (paintNumber === undefined || farEndPercent === undefined || atContactPercent === undefined) return;
  if (paintNumber.value > paintNumberMax * 1.001) {
    say(
      'paintNumber',
      `ν is ${significant(paintNumber.value, 3)}, above ${String(paintNumberMax)}: farthest from a contact the paint gets ${significant(farEndPercent.value, 2)} % of the average and at a contact ${significant(atContactPercent.value, 3)} %, so that the metal grows from the contacts and may burn there. Add contacts, lower the strike, or put on more paint.`,
    );
  }
}

/** Above its range the monitor reads no more than its end, and a current that is too high looks like one that is not. */
function sayOfMonitor(say: Say, millivolts: number): void {
  if (millivolts <= monitorMillivoltsMax * monitorShare) return;
  say(
    'shuntMillivolts',
    `The shunt gives ${significant(millivolts, 3)} mV at the set-point, and the controller’s monitor reads up to ${String(monitorMillivoltsMax)} mV: a current that climbs is not seen. Take a larger shunt, or one of 60 or 75 mV.`,
  );
}
/** Room for a current that is too high. Our own practice. */
const monitorShare = 0.9;

function sayOfCrowdedContacts(say: Say, count: number, ampsEach: number): void {
  if (ampsEach <= contactAmpsMax * 1.001) return;
  say(
    'plateAmpsPerContact',
    `Each contact carries ${significant(ampsEach, 3)} A, more than the ${String(contactAmpsMax)} A at which a usual clip of ${String(usualContactMilliohms)} mΩ drops ${String(1000 * contactDropVoltsMax)} mV: it heats, oxidises and burns what is under it, then the current goes to the others. Give each piece ${String(contactsCarrying(count * ampsEach))} contacts at least, clean and tight. (Our own practice, no source.)`,
  );
}
