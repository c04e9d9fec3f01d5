/*
 * What is wrong with a request before anything is computed from it: every fault at once, each saying what, expected, got, what to do.
 * Called by plan.ts. What is only unwise is not refused here; warnings say it.
 */
import { bathProfiles } from '../baths/bath-list.js';
import { leastPenFactor, penFactors } from '../brush.js';
import { cableSizesMm2, type CableMm2 } from '../conductors/cable.js';
import { significant } from '../shown.js';
import { profileOf } from './plan-basis.js';
import type { PlannedPart, PlanRequest } from './plan-request.js';

interface Bound {
  readonly words: string;
  readonly value: number | undefined;
  /** Below it, or at it where `isOpen`, is a fault. */
  readonly min: number;
  readonly max: number;
  readonly unit: string;
  readonly isOpen?: boolean;
}

/** The bounds keep nonsense out and every sum finite; they are no practice. */
function bounds(request: PlanRequest): Bound[] {
  const { anodes, tank, conductors, paint, weight, prices, secondLayer } = request;
  const above0 = (words: string, value: number | undefined, max: number, unit: string): Bound => ({
    words,
    value,
    min: 0,
    max,
    unit,
    isOpen: true,
  });
  const from = (words: string, value: number | undefined, min: number, max: number, unit: string): Bound => ({
    words,
    value,
    min,
    max,
    unit,
  });
  return [
    above0('average thickness', request.averageThicknessMicrometres, 20_000, 'µm'),
    above0('charge', request.chargeAmpereHours, 1e6, 'Ah'),
    above0('plate time', request.plateHours, 10_000, 'h'),
    above0('current density', request.currentDensityAmpsPerDm2, 100, 'A/dm²'),
    above0('current', request.currentAmps, 1e5, 'A'),
    above0('largest current of the supply', request.supplyAmpsMax, 1e5, 'A'),
    above0('largest voltage of the supply', request.supplyVoltsMax, 1000, 'V'),
    above0('cathode efficiency', request.cathodeEfficiency, 1, '(a share: 1 is 100 %)'),
    above0('conductivity', request.conductivitySiemensPerMetre, 200, 'S/m'),
    from('bath temperature', request.bathCelsius, 0, 100, '°C'),
    from('room temperature', request.roomCelsius, -30, 60, '°C'),
    from('strike density', request.strikeDensityAmpsPerDm2, 0, 100, 'A/dm²'),
    from('strike', request.strikeMinutes, 0, 1440, 'min'),
    from('ramp', request.rampMinutes, 0, 1440, 'min'),
    from('rotation', request.rotationPulsesPerMinute, 0, 600, 'pulses a minute'),
    above0('claimed thickness', request.claimedThicknessMicrometres, 1e6, 'µm'),
    from('loss in finishing', request.finishingMicrometres, 0, 20_000, 'µm'),
    from('brightener', request.brightenerLitresPerKiloampereHour, 0, 100, 'L/kAh'),
    above0('gap between anode and part', anodes?.gapMm, 10_000, 'mm'),
    above0('ratio of anode to part area', anodes?.areaRatio, 100, ''),
    above0('face of one anode', anodes?.faceDm2Each, 10_000, 'dm²'),
    from('number of anodes', anodes?.count, 1, 1000, ''),
    from('length of the tank', tank?.lengthMm, 1, 20_000, 'mm'),
    from('width of the tank', tank?.widthMm, 1, 20_000, 'mm'),
    from('height of the tank', tank?.heightMm, 1, 20_000, 'mm'),
    from('fill of the tank', tank?.fillMm, 1, 20_000, 'mm'),
    from('volume of the bath', tank?.litres, 0.01, 1e6, 'L'),
    above0('length of cable', conductors?.cableMetres, 1000, 'm'),
    above0('rated current of the shunt', conductors?.shuntRatedAmps, 1e5, 'A'),
    above0('rated voltage of the shunt', conductors?.shuntRatedMillivolts, 1000, 'mV'),
    above0('sheet resistance of the paint', paint?.sheetOhmsPerSquare, 1e7, 'Ω a square'),
    from('number of contacts', paint?.contacts, 1, 10_000, ''),
    from('dry thickness of the paint', paint?.dryMicrometres, 0, 2000, 'µm'),
    above0('share of solids in the paint', paint?.solidsShare, 1, ''),
    from('share of paint that is lost', paint?.lossShare, 0, 0.99, ''),
    from('share of thinner', paint?.thinnerShare, 0, 10, ''),
    above0('mass of one piece', weight?.massGramsEach, 1e7, 'g'),
    above0('density of the print', weight?.printGramsPerCm3, 25, 'g/cm³'),
    from('filled share of the print', weight?.filledShare, 0, 1, ''),
    from('density of the ballast', weight?.ballastGramsPerCm3, 1.5, 25, 'g/cm³'),
    from('price of the metal', prices?.metalPerKg, 0, 1e7, 'a kg'),
    from('price of electricity', prices?.electricityPerKwh, 0, 1e5, 'a kWh'),
    from('price of brightener', prices?.brightenerPerLitre, 0, 1e6, 'a litre'),
    from('price of paint', prices?.paintPerLitre, 0, 1e6, 'a litre'),
    above0('thickness of the second layer', secondLayer?.micrometres, 1000, 'µm'),
    above0('area of the second layer', secondLayer?.areaDm2, 10_000, 'dm²'),
    above0('current of the pen', secondLayer?.amps, 1000, 'A'),
    above0('factor of the pen', secondLayer?.ampereHoursPerIn2TenThousandth, 10, 'Ah/(in²·0.0001 in)'),
    above0('width of the pen', secondLayer?.penWidthMm, 1000, 'mm'),
    above0('speed of the pen', secondLayer?.penMillimetresPerSecond, 10_000, 'mm/s'),
  ];
}

/** So little counts as nothing: no measure is as small, and sums with it would not stay finite. */
const nothing = 1e-9;

function boundFault({ words, value, min, max, unit, isOpen }: Bound): string[] {
  if (value === undefined) return [];
  const isGood = typeof value === 'number' && value <= max && (isOpen === true ? value > min + nothing : value >= min);
  if (isGood) return [];
  const expected =
    isOpen === true ? `more than ${String(min)}, up to ${String(max)}` : `${String(min)} to ${String(max)}`;
  return [
    `The ${words} has to be ${expected}${unit === '' ? '' : ` ${unit}`}, got ${gotOf(value, unit)}. Enter it again.`,
  ];
}

/** With its unit, so that it is converted like what was expected. */
function gotOf(value: number, unit: string): string {
  const isMeasured = Number.isFinite(value) && unit !== '' && !unit.startsWith('(');
  return isMeasured ? `${significant(value, 12)} ${unit}` : String(value);
}

/** What is known of a part's shape, each only where it is given. */
function partBounds(part: PlannedPart): Bound[] {
  const of = (what: string): string => `${what} of ${part.name}`;
  return [
    { words: of('volume'), value: part.volumeCm3, min: 0, max: 1e6, unit: 'cm³' },
    { words: of('displaced volume'), value: part.displacedCm3, min: 0, max: 1e6, unit: 'cm³' },
    { words: of('length'), value: part.longestMm, min: 1e-6, max: 1e5, unit: 'mm' },
    { words: of('bend of the edges'), value: part.edgeBendDegrees, min: 0, max: 180, unit: '°' },
    { words: of('openness'), value: part.openShare, min: 0, max: 1, unit: '' },
    { words: of('diameter of the rods'), value: part.thinnestRodMm, min: 0, max: 1e5, unit: 'mm' },
    { words: of('integral of mean curvature'), value: part.meanCurvatureMm, min: -1e9, max: 1e9, unit: 'mm' },
  ];
}

/** A word that is none of those there are; a stored plan may be older or younger than this program. */
function choiceFault(words: string, value: string | undefined, among: readonly string[]): string[] {
  if (value === undefined || among.includes(value)) return [];
  return [`The ${words} has to be one of ${among.join(', ')}, got ${String(value)}. Choose one of them.`];
}

/** A pen that deposits more than Faraday's law allows; a bad factor of another kind is told by its bounds. */
function penFactorFault(layer: PlanRequest['secondLayer']): string[] {
  const factor = layer?.ampereHoursPerIn2TenThousandth;
  if (layer === undefined || factor === undefined || !(factor > nothing)) return [];
  if (!Object.hasOwn(penFactors, layer.pen) || factor >= leastPenFactor(layer.pen)) return [];
  const least = significant(leastPenFactor(layer.pen), 4);
  return [
    `The factor of the pen has to be at least ${least} Ah/(in²·0.0001 in), what Faraday’s law takes for ${layer.pen} with nothing lost, got ${significant(factor, 4)}. Check the maker’s figure and its units.`,
  ];
}

/** Whole sentences; empty when a plan can be made. */
export function planFaults(request: PlanRequest): string[] {
  const faults: string[] = [];
  if (request.parts.length === 0) {
    faults.push('A plan needs a part, got none. Give a model, a simple shape, or an area.');
  }
  for (const part of request.parts) {
    if (!(part.areaDm2 > nothing && part.areaDm2 <= 10_000)) {
      faults.push(
        `The plated area of ${part.name} has to be more than 0, up to 10000 dm², got ${gotOf(part.areaDm2, 'dm²')}. Check the unit of the model, and what is masked.`,
      );
    }
    if (!(Number.isInteger(part.pieces) && part.pieces >= 1 && part.pieces <= 10_000)) {
      faults.push(
        `The pieces of ${part.name} have to be a whole number from 1 to 10000, got ${String(part.pieces)}. Enter it again.`,
      );
    }
    for (const bound of partBounds(part)) faults.push(...boundFault(bound));
  }
  if (profileOf(request) === undefined) {
    faults.push(
      `There is no bath called "${String(request.bath)}": expected one of ${bathProfiles.map((each) => each.key).join(', ')}. Choose one of them.`,
    );
  }
  const targets = [request.averageThicknessMicrometres, request.chargeAmpereHours, request.plateHours].filter(
    (each) => each !== undefined,
  ).length;
  if (targets !== 1) {
    faults.push(
      `A plan aims at an average thickness, a charge or a plate time, and exactly one of them has to be given. Got ${targets === 0 ? 'none' : String(targets)}. ` +
        'Enter one and leave the others empty.',
    );
  }
  if (request.currentDensityAmpsPerDm2 !== undefined && request.currentAmps !== undefined) {
    faults.push('Either a current density or a current can be given, got both. Leave one of them empty.');
  }
  const cableMm2 = request.conductors?.cableMm2;
  if (cableMm2 !== undefined && !cableSizesMm2.includes(cableMm2 as CableMm2)) {
    faults.push(
      `The cable has to be one of ${cableSizesMm2.join(', ')} mm² (IEC 60228), got ${String(cableMm2)}. Choose one of them.`,
    );
  }
  const { heightMm, fillMm } = request.tank ?? {};
  if (heightMm !== undefined && fillMm !== undefined && fillMm > heightMm) {
    faults.push(
      `The liquid has to stand below the rim, at most ${String(heightMm)} mm, got ${String(fillMm)} mm. Check height and fill.`,
    );
  }
  faults.push(...choiceFault('agitation', request.agitation, ['still', 'moving', 'vigorous']));
  faults.push(...choiceFault('pen', request.secondLayer?.pen, Object.keys(penFactors)));
  faults.push(...penFactorFault(request.secondLayer));
  for (const bound of bounds(request)) faults.push(...boundFault(bound));
  return faults;
}
