/*
 * Cable and shunt for the set-point: cross-section, voltage drop, heat. Called by plan.ts. Says nothing of what a cable may carry where it lies:
 * that is the local code's business.
 */
import { cableFor, type CableMm2, cableOhms } from '../conductors/cable.js';
import { type Shunt, shuntFor, shuntOhms } from '../conductors/shunt.js';
import { type Figure, given, input, inputOf } from '../figure.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';

export interface ConductorFigures {
  readonly cableMm2: Figure;
  readonly cablesInParallel: Figure;
  readonly cableDropVolts: Figure;
  readonly cableWatts: Figure;
  readonly cableWattsPerMetre: Figure;
  readonly shuntRatedAmps: Figure;
  readonly shuntMillivolts: Figure;
  readonly shuntWatts: Figure;
}

/** There and back. Common practice, no source. */
const usualCableMetres = 4;
const warmCelsius = 50;
const standard = 'IEC 60228, class 5, at 20 °C; temperature: IEC 60028, from memory';

export function conductorFigures(basis: PlanBasis, deposit: DepositFigures): ConductorFigures {
  const asked = basis.request.conductors ?? {};
  const amps = deposit.setPointAmps.value;
  const metres = given(asked.cableMetres, usualCableMetres);
  const choice =
    asked.cableMm2 === undefined
      ? cableFor(amps, metres.value)
      : { sizeMm2: asked.cableMm2 as CableMm2, inParallel: 1 };
  const ohms = cableOhms(choice.sizeMm2, metres.value) / choice.inParallel;
  const warmer = cableOhms(choice.sizeMm2, 1, warmCelsius) / cableOhms(choice.sizeMm2, 1);
  const shunt: Shunt = {
    ratedAmps: asked.shuntRatedAmps ?? shuntFor(amps).ratedAmps,
    ratedMillivolts: asked.shuntRatedMillivolts ?? 75,
  };

  const cableMm2: Figure = {
    label: 'Cable',
    value: choice.sizeMm2,
    unit: 'mm²',
    formula: asked.cableMm2 === undefined ? 'the smallest with at most 2 W a metre and 0.2 V in all' : 'as asked for',
    inputs: [inputOf(deposit.setPointAmps), input('Cable, there and back', metres, 'm')],
    source: `${standard}; the limits are our own practice. What it may carry where it lies: your local code`,
  };
  const cablesInParallel: Figure = {
    label: 'Cables in parallel',
    value: choice.inParallel,
    unit: '1',
    formula: 'one, unless the largest in the table is too small',
    inputs: [inputOf(cableMm2)],
    source: 'our own practice',
  };
  const lengthInput = input('Cable, there and back', metres, 'm');
  const resistance = input('Resistance of the cable', ohms * 1000, 'mΩ');
  const shuntResistance = input('Resistance of the shunt', shuntOhms(shunt) * 1000, 'mΩ');
  const watts = amps * amps * ohms;
  const warm = (value: number) => ({ low: value, high: value * warmer, because: 'conductor at 20 to 50 °C' });
  const shuntRatedAmps: Figure = {
    label: `Shunt of ${String(shunt.ratedMillivolts)} mV`,
    value: shunt.ratedAmps,
    unit: 'A',
    formula: asked.shuntRatedAmps === undefined ? 'the smallest that is sold with 1.4 × the set-point' : 'as asked for',
    inputs: [inputOf(deposit.setPointAmps)],
    source: 'a supplier’s advice (selectsupport.com): at least 1.4 × the largest current',
  };
  return {
    cableMm2,
    cablesInParallel,
    cableDropVolts: {
      label: 'Voltage drop of the cable',
      value: amps * ohms,
      unit: 'V',
      uncertainty: warm(amps * ohms),
      formula: 'set-point × resistance of the cable',
      inputs: [inputOf(deposit.setPointAmps), resistance, inputOf(cableMm2), lengthInput],
      source: standard,
    },
    cableWatts: {
      label: 'Heat of the cable',
      value: watts,
      unit: 'W',
      uncertainty: warm(watts),
      formula: 'set-point² × resistance of the cable',
      inputs: [inputOf(deposit.setPointAmps), resistance],
      source: standard,
    },
    cableWattsPerMetre: {
      label: 'Heat of a metre of cable',
      value: watts / metres.value / choice.inParallel,
      unit: 'W/m',
      formula: 'heat of the cable ÷ length ÷ cables in parallel',
      inputs: [lengthInput, inputOf(cablesInParallel)],
      source: standard,
    },
    shuntRatedAmps,
    shuntMillivolts: {
      label: 'Signal of the shunt',
      value: amps * shuntOhms(shunt) * 1000,
      unit: 'mV',
      formula: 'set-point × resistance of the shunt',
      inputs: [inputOf(deposit.setPointAmps), shuntResistance],
      source: 'Ohm’s law',
    },
    shuntWatts: {
      label: 'Heat of the shunt',
      value: amps * amps * shuntOhms(shunt),
      unit: 'W',
      formula: 'set-point² × resistance of the shunt',
      inputs: [inputOf(deposit.setPointAmps), shuntResistance],
      source: 'Joule’s law',
    },
  };
}
