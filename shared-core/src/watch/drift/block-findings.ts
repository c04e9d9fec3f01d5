/*
 * What a block of half a minute says of temperature, current, supply and resistance: hands its means to the courses and puts what they answer into
 * findings, with likely causes and whether somebody is needed tonight. Called by the drift watch at the end of each block. It calls nobody.
 */
import { Phase } from '../../control/phase.js';
import type { LiveView } from '../../messages/api.js';
import type { BathDrift } from './bath-drift.js';
import { type Block, gatheredMean } from './block.js';
import { takeCurrent } from './current-course.js';
import { currentCauses, resistanceCauses, supplyCauses, temperatureCauses } from './drift-causes.js';
import type { DriftFinding, DriftPlan } from './drift-finding.js';
import { CLOSED_MS, ohmsAt, takeForUsual, takeResistance } from './resistance-course.js';
import { over, told } from './standing.js';
import type { Stretch } from './stretch.js';
import { isCeiling, takeVoltage } from './supply-course.js';
import { takeTemperature } from './temperature-course.js';

/** A drop of so many volts more is a contact that goes: at 31 A some 0.6 W more in a clip. Common practice, no source. */
const CONTACT_VOLTS = 0.02;
/** And so much of the whole, and so many times the spread of the blocks. */
const CONTACT_FRACTION = 0.005;
const CONTACT_SIGMAS = 6;
/** Resistance that falls so much within minutes, once the paint has closed: something is about to touch. */
const NEARER_FRACTION = 0.06;
/** The limit is so near that somebody has to act. */
const TEMPERATURE_TONIGHT_MS = 30 * 60_000;
const SUPPLY_TONIGHT_MS = 45 * 60_000;
/** A shift that needs nobody tonight and came to nothing for so long is the usual from then on. */
const USUAL_AFTER_MS = 30 * 60_000;
/** V/I at another current is another number: so far away from the usual current resistance is not judged. */
const AWAY_FRACTION = 0.03;

export interface BlockSeen {
  readonly ended: Block;
  readonly stretch: Stretch;
  /** The newest message. */
  readonly live: LiveView;
  readonly plan: DriftPlan;
  readonly nowMs: number;
}

export function blockFindings(drift: BathDrift, seen: BlockSeen): DriftFinding[] {
  const { ended, stretch, plan } = seen;
  const amps = gatheredMean(ended.amps);
  const volts = gatheredMean(ended.volts);
  const celsius = gatheredMean(ended.celsius);
  const findings: DriftFinding[] = [];
  let celsiusPerHour = 0;
  if (celsius !== undefined) celsiusPerHour = judgeTemperature(drift, celsius, seen, findings);
  if (amps === undefined || volts === undefined) return findings;
  judgeCurrent(drift, amps, isCeiling(volts, plan.terminalVoltsMax), seen, findings);
  if (stretch.phase !== Phase.plate) return findings;
  judgeSupply(drift, volts, seen, findings);
  const usualAmps = (drift.current.usualShare ?? amps / stretch.permittedAmps) * stretch.permittedAmps;
  const isAway = Math.abs(amps - usualAmps) > AWAY_FRACTION * usualAmps;
  if (celsius === undefined || isAway || !(amps > 0) || !(volts > 0)) return findings;
  judgeResistance(drift, { amps, usualAmps, volts, celsius, celsiusPerHour }, seen, findings);
  return findings;
}

/** Answers the slope in Celsius an hour. */
function judgeTemperature(drift: BathDrift, celsius: number, seen: BlockSeen, into: DriftFinding[]): number {
  const { plan, nowMs } = seen;
  const course = drift.temperature;
  const turn = takeTemperature(course, celsius, plan.bathColdCelsius, plan.bathWarnCelsius, nowMs);
  const { celsiusPerHour, limitAtMs } = turn;
  const direction = course.direction ?? (celsiusPerHour > 0 ? 'up' : 'down');
  const value = direction === 'up' ? plan.bathWarnCelsius : plan.bathColdCelsius;
  into.push(
    ...told(
      drift.standing,
      turn.turned,
      {
        ...{ name: 'temperature-drifting', sinceMs: course.sinceMs, direction },
        ...{ now: turn.celsius, before: course.recent.values[0]! },
        limit: limitAtMs === null ? null : { value, atMs: limitAtMs },
        causes: temperatureCauses(celsiusPerHour),
      },
      limitAtMs !== null && limitAtMs - nowMs <= TEMPERATURE_TONIGHT_MS ? 'tonight' : 'look',
    ),
  );
  return celsiusPerHour;
}

function judgeCurrent(
  drift: BathDrift,
  amps: number,
  isAtCeiling: boolean,
  seen: BlockSeen,
  into: DriftFinding[],
): void {
  const { stretch, live, nowMs } = seen;
  const course = drift.current;
  const taken = takeCurrent(course, amps, stretch.permittedAmps, nowMs);
  const direction = course.chart?.side === 'below' ? 'down' : 'up';
  into.push(
    ...told(
      drift.standing,
      taken.turned,
      {
        ...{ name: 'current-drifting', sinceMs: course.chart?.sinceMs ?? nowMs, direction },
        ...{ now: amps, before: (course.usualShare ?? 1) * stretch.permittedAmps, limit: null },
        causes: currentCauses({ direction, isAtCeiling, supplyKind: live.supplyKind }),
      },
      taken.isForTonight ? 'tonight' : 'look',
    ),
  );
}

function judgeSupply(drift: BathDrift, volts: number, { plan, nowMs }: BlockSeen, into: DriftFinding[]): void {
  const turn = takeVoltage(drift.supply, volts, plan.terminalVoltsMax, plan.plannedFinishAtMs, nowMs);
  const { ceilingAtMs, ceilingVolts } = turn;
  into.push(
    ...told(
      drift.standing,
      turn.turned,
      {
        ...{ name: 'supply-drifting', sinceMs: drift.supply.sinceMs, direction: 'up' },
        ...{ now: turn.volts, before: turn.voltsBefore },
        limit: ceilingAtMs === null ? null : { value: ceilingVolts, atMs: ceilingAtMs },
        causes: supplyCauses(turn.isAtCeiling),
      },
      ceilingAtMs !== null && ceilingAtMs - nowMs <= SUPPLY_TONIGHT_MS ? 'tonight' : 'look',
    ),
  );
}

interface Cell {
  readonly amps: number;
  readonly usualAmps: number;
  readonly volts: number;
  readonly celsius: number;
  readonly celsiusPerHour: number;
}

function judgeResistance(drift: BathDrift, cell: Cell, { nowMs }: BlockSeen, into: DriftFinding[]): void {
  const course = drift.resistance;
  const platingMs = nowMs - (drift.platingSinceMs ?? nowMs);
  const taken = takeResistance(course, ohmsAt(cell.usualAmps, cell), platingMs, nowMs);
  const change = taken.nowOhms - taken.beforeOhms;
  const direction = change >= 0 ? 'up' : 'down';
  const lasting = taken.lastingOhms - taken.beforeOhms;
  const fraction = lasting / taken.beforeOhms;
  const contactFraction = Math.max(CONTACT_FRACTION, CONTACT_SIGMAS * (course.chart?.sigma ?? Infinity));
  const isForTonight =
    (lasting * cell.usualAmps >= CONTACT_VOLTS && fraction >= contactFraction) ||
    (platingMs >= CLOSED_MS && fraction <= -NEARER_FRACTION);
  const causes = resistanceCauses(direction, true, cell.celsiusPerHour);
  into.push(
    ...told(
      drift.standing,
      // The slow change has the same name: it is over when both are.
      taken.turned === 'cleared' && course.slowSide === 'above' ? undefined : taken.turned,
      {
        ...{ name: 'cell-resistance-drifting', sinceMs: course.chart?.sinceMs ?? nowMs, direction },
        ...{ now: taken.nowOhms, before: taken.beforeOhms, limit: null, causes },
      },
      isForTonight ? 'tonight' : 'look',
    ),
  );
  const isMinor = drift.standing['cell-resistance-drifting']?.severity === 'look' && course.slowSide === null;
  if (isMinor && course.before !== null && nowMs - course.foundAtMs >= USUAL_AFTER_MS) {
    takeForUsual(course);
    into.push(...over(drift.standing, ['cell-resistance-drifting']));
  }
  // Over hours rising is anodes, films and level; falling is water that went (or an anode that came nearer).
  const slow = taken.slowSide === 'above' ? 'up' : 'down';
  const isSuddenStanding = slow === 'up' && course.before !== null;
  into.push(
    ...told(
      drift.standing,
      taken.slowTurned === 'cleared' && isSuddenStanding ? undefined : taken.slowTurned,
      {
        name: slow === 'up' ? 'cell-resistance-drifting' : 'liquid-evaporating',
        ...{ sinceMs: course.slowSinceMs, direction: slow, now: taken.nowOhms, before: taken.learntOhms },
        ...{ limit: null, causes: resistanceCauses(slow, false, cell.celsiusPerHour) },
      },
      'look',
    ),
  );
}
