/*
 * The drift watch of one bath: hands each live message to the courses of current, resistance, temperature, rotation and supply, and answers what
 * was found, since when, how much and why. Called by the dashboard with every live message. Streaming, constant memory, no clock; its
 * state is plain numbers, so that it can be kept over a restart. It calls nobody.
 */
import { Phase } from '../../control/phase.js';
import type { LiveView } from '../../messages/api.js';
import { type Block, block, BLOCK_MS, gather, gatheredMean } from './block.js';
import { type CurrentCourse, currentCourse, takeCurrent } from './current-course.js';
import { currentCauses, resistanceCauses, rotationCauses, supplyCauses, temperatureCauses } from './drift-causes.js';
import { type DriftFinding, type DriftName, driftNames, type DriftPlan, type DriftSeverity } from './drift-finding.js';
import {
  correctedOhms,
  forgetLine,
  type ResistanceCourse,
  resistanceCourse,
  takeResistance,
} from './resistance-course.js';
import { type RotationCourse, rotationCourse, takeRotation } from './rotation-course.js';
import { isSettled, type Stretch, stretchAfter } from './stretch.js';
import { type SupplyCourse, supplyCourse, takeVoltage } from './supply-course.js';
import { takeTemperature, type TemperatureCourse, temperatureCourse } from './temperature-course.js';

export interface BathDrift {
  runNumber: number;
  lastHeardAtMs: number;
  /** When plating began; null: not yet in this run. */
  platingSinceMs: number | null;
  stretch: Stretch | null;
  block: Block | null;
  current: CurrentCourse;
  resistance: ResistanceCourse;
  supply: SupplyCourse;
  temperature: TemperatureCourse;
  rotation: RotationCourse;
  /** What stands, and how it was told last. */
  standing: Partial<Record<DriftName, DriftFinding>>;
}

/** A pause in what is heard that is no more than a reconnect. */
const PAUSE_MS = 120_000;
/** After a longer one than this a line through what was before it says nothing any more. */
const LONG_PAUSE_MS = 600_000;
/** A drop of so many volts more is a contact that heats (common practice: clips are looked at from 50 mV on; no source). */
const CONTACT_VOLTS = 0.05;
const CONTACT_FRACTION = 0.02;
/** Resistance that falls so much within minutes: something is about to touch. */
const NEARER_FRACTION = 0.06;
/** The limit is so near that somebody has to act. */
const TONIGHT_MS = 30 * 60_000;
const SUPPLY_TONIGHT_MS = 45 * 60_000;
/** A turn that takes so much longer; the controller calls at half as long again. */
const TURN_FRACTION = 0.2;

export function bathDrift(runNumber = 0): BathDrift {
  return {
    runNumber,
    lastHeardAtMs: -Infinity,
    platingSinceMs: null,
    stretch: null,
    block: null,
    current: currentCourse(),
    resistance: resistanceCourse(),
    supply: supplyCourse(),
    temperature: temperatureCourse(),
    rotation: rotationCourse(),
    standing: {},
  };
}

type Found = Omit<DriftFinding, 'turned' | 'severity'>;

/** Raises, worsens or clears what a course said, so that it is told once. */
function told(
  drift: BathDrift,
  turned: 'raised' | 'cleared' | undefined,
  found: Found,
  severity: DriftSeverity,
): DriftFinding[] {
  const { name } = found;
  const stands = drift.standing[name];
  if (turned === 'cleared') {
    if (stands === undefined) return [];
    delete drift.standing[name];
    return [{ ...stands, ...found, sinceMs: stands.sinceMs, severity: stands.severity, turned }];
  }
  if (turned === 'raised' && stands === undefined) {
    const finding: DriftFinding = { ...found, severity, turned };
    drift.standing[name] = finding;
    return [finding];
  }
  if (stands === undefined || stands.severity === 'tonight' || severity === 'look') return [];
  const finding: DriftFinding = {
    ...found,
    sinceMs: Math.min(stands.sinceMs, found.sinceMs),
    severity,
    turned: 'worse',
  };
  drift.standing[name] = finding;
  return [finding];
}

/** Everything of these names that stands is over: what it was judged by is no more. */
function over(drift: BathDrift, names: readonly DriftName[]): DriftFinding[] {
  const findings: DriftFinding[] = [];
  for (const name of names) {
    const stands = drift.standing[name];
    if (stands === undefined) continue;
    delete drift.standing[name];
    findings.push({ ...stands, turned: 'cleared' });
  }
  return findings;
}

/** A finding that could not be told: it is to be found again. */
export function forgetFinding(drift: BathDrift, name: DriftName): void {
  delete drift.standing[name];
  if (name === 'current-drifting') drift.current = currentCourse();
  else if (name === 'temperature-drifting') drift.temperature = temperatureCourse();
  else if (name === 'rotation-drifting') drift.rotation = rotationCourse();
  else if (name === 'supply-drifting') drift.supply = supplyCourse();
  else drift.resistance = resistanceCourse();
}

/** Judged at one set-point only. */
const ofStretch: readonly DriftName[] = [
  'current-drifting',
  'cell-resistance-drifting',
  'supply-drifting',
  'liquid-evaporating',
];

/**
 * Judges one live message.
 *
 * Example: plating at 19.2 A whose current falls by 0.17 % a minute answers `current-drifting` five to nine minutes after it began to.
 */
export function findingsInDrift(drift: BathDrift, live: LiveView, plan: DriftPlan, nowMs: number): DriftFinding[] {
  const findings: DriftFinding[] = [];
  if (plan.runNumber !== drift.runNumber) {
    findings.push(...over(drift, driftNames));
    Object.assign(drift, bathDrift(plan.runNumber));
  }
  bridgePause(drift, nowMs);
  const stretch = stretchAfter(drift.stretch ?? undefined, live, nowMs);
  if (stretch !== (drift.stretch ?? undefined)) {
    findings.push(...over(drift, stretch === undefined ? driftNames : ofStretch));
    const { learnt } = drift.resistance;
    drift.current = currentCourse();
    // What was learnt once the paint had closed holds for this set-point alone.
    drift.resistance = { ...resistanceCourse(), learnt: isSameSetPoint(drift.stretch, stretch) ? learnt : null };
    drift.supply = supplyCourse();
    if (stretch === undefined) {
      drift.temperature = temperatureCourse();
      drift.rotation = rotationCourse();
    }
    drift.block = null;
    drift.stretch = stretch ?? null;
  }
  if (stretch === undefined) return findings;
  if (live.phase === Phase.plate) drift.platingSinceMs ??= nowMs;

  findings.push(...turnFindings(drift, live, nowMs));
  drift.block ??= block(nowMs);
  if (nowMs - drift.block.beganAtMs >= BLOCK_MS) {
    const ended = drift.block;
    drift.block = block(nowMs);
    findings.push(...blockFindings(drift, ended, stretch, live, plan, nowMs));
  }
  const { amps, volts, celsius } = drift.block;
  if (isSettled(stretch, live, nowMs)) {
    if (live.cathodeCurrentAmps !== null) gather(amps, live.cathodeCurrentAmps);
    if (live.terminalVolts !== null) gather(volts, live.terminalVolts);
  }
  if (live.bathTemperatureCelsius !== null) gather(celsius, live.bathTemperatureCelsius);
  return findings;
}

function isSameSetPoint(one: Stretch | null, other: Stretch | undefined): boolean {
  return one?.phase === other?.phase && one?.permittedAmps === other?.permittedAmps;
}

/** After a pause half a block is none; after a long one, or a clock that was set, what was before is no neighbour of what comes. */
function bridgePause(drift: BathDrift, nowMs: number): void {
  const pauseMs = nowMs - drift.lastHeardAtMs;
  drift.lastHeardAtMs = nowMs;
  if (pauseMs >= 0 && pauseMs <= PAUSE_MS) return;
  drift.block = null;
  if (pauseMs >= 0 && pauseMs <= LONG_PAUSE_MS) return;
  drift.temperature.recent = { atMs: [], values: [] };
  drift.supply.recent = { atMs: [], values: [] };
  forgetLine(drift.resistance);
  if (pauseMs < 0) drift.rotation.lastPulseAtMs = -Infinity;
}

function turnFindings(drift: BathDrift, live: LiveView, nowMs: number): DriftFinding[] {
  const turn = takeRotation(drift.rotation, live, nowMs);
  if (turn === undefined) return [];
  const { turned, nowSeconds, usualSeconds } = turn;
  const direction = nowSeconds >= usualSeconds ? 'up' : 'down';
  const severity = nowSeconds > (1 + TURN_FRACTION) * usualSeconds ? 'tonight' : 'look';
  const sinceMs = drift.rotation.chart?.sinceMs ?? nowMs;
  const causes = rotationCauses(direction);
  return told(
    drift,
    turned,
    { name: 'rotation-drifting', sinceMs, direction, now: nowSeconds, before: usualSeconds, limit: null, causes },
    severity,
  );
}

function blockFindings(
  drift: BathDrift,
  ended: Block,
  stretch: Stretch,
  live: LiveView,
  plan: DriftPlan,
  nowMs: number,
): DriftFinding[] {
  const findings: DriftFinding[] = [];
  const amps = gatheredMean(ended.amps);
  const volts = gatheredMean(ended.volts);
  const celsius = gatheredMean(ended.celsius);
  let celsiusPerHour = 0;
  if (celsius !== undefined) {
    const course = drift.temperature;
    const turn = takeTemperature(course, celsius, plan.bathColdCelsius, plan.bathWarnCelsius, nowMs);
    celsiusPerHour = turn.celsiusPerHour;
    const direction = course.direction ?? (celsiusPerHour > 0 ? 'up' : 'down');
    const value = direction === 'up' ? plan.bathWarnCelsius : plan.bathColdCelsius;
    const limit = turn.limitAtMs === null ? null : { value, atMs: turn.limitAtMs };
    const isNear = turn.limitAtMs !== null && turn.limitAtMs - nowMs <= TONIGHT_MS;
    const before = course.recent.values[0]!;
    const causes = temperatureCauses(celsiusPerHour);
    findings.push(
      ...told(
        drift,
        turn.turned,
        { name: 'temperature-drifting', sinceMs: course.sinceMs, direction, now: turn.celsius, before, limit, causes },
        isNear ? 'tonight' : 'look',
      ),
    );
  }
  if (amps === undefined || volts === undefined) return findings;

  const isAtCeiling = volts >= 0.95 * plan.terminalVoltsMax;
  const current = takeCurrent(drift.current, amps, stretch.permittedAmps, nowMs);
  const currentDirection = drift.current.chart?.side === 'below' ? 'down' : 'up';
  findings.push(
    ...told(
      drift,
      current.turned,
      {
        name: 'current-drifting',
        sinceMs: drift.current.chart?.sinceMs ?? nowMs,
        direction: currentDirection,
        now: amps,
        before: (drift.current.usualShare ?? 1) * stretch.permittedAmps,
        limit: null,
        causes: currentCauses({ direction: currentDirection, isAtCeiling, supplyKind: live.supplyKind }),
      },
      current.isForTonight ? 'tonight' : 'look',
    ),
  );
  if (stretch.phase !== Phase.plate) return findings;

  const supply = takeVoltage(drift.supply, volts, plan.terminalVoltsMax, plan.plannedFinishAtMs, nowMs);
  const isCeilingNear = supply.ceilingAtMs !== null && supply.ceilingAtMs - nowMs <= SUPPLY_TONIGHT_MS;
  findings.push(
    ...told(
      drift,
      supply.turned,
      {
        name: 'supply-drifting',
        sinceMs: drift.supply.sinceMs,
        direction: 'up',
        now: supply.volts,
        before: supply.voltsBefore,
        limit: supply.ceilingAtMs === null ? null : { value: supply.ceilingVolts, atMs: supply.ceilingAtMs },
        causes: supplyCauses(supply.isAtCeiling),
      },
      isCeilingNear ? 'tonight' : 'look',
    ),
  );
  // V/I at another current is another number: while the current is away, resistance is not judged.
  const share = drift.current.usualShare;
  const isAway = share !== null && Math.abs(amps / stretch.permittedAmps - share) > 0.02;
  if (celsius === undefined || isAway || !(amps > 0) || !(volts > 0)) return findings;
  findings.push(...resistanceFindings(drift, { amps, volts, celsius, celsiusPerHour }, nowMs));
  return findings;
}

interface Cell {
  readonly amps: number;
  readonly volts: number;
  readonly celsius: number;
  readonly celsiusPerHour: number;
}

function resistanceFindings(drift: BathDrift, cell: Cell, nowMs: number): DriftFinding[] {
  const course = drift.resistance;
  const platingMs = nowMs - (drift.platingSinceMs ?? nowMs);
  const ohms = correctedOhms(cell.volts / cell.amps, cell.celsius);
  const taken = takeResistance(course, ohms, platingMs, nowMs);
  const change = taken.nowOhms - taken.beforeOhms;
  const direction = change >= 0 ? 'up' : 'down';
  const fraction = change / taken.beforeOhms;
  const isForTonight =
    (change * cell.amps >= CONTACT_VOLTS && fraction >= CONTACT_FRACTION) || fraction <= -NEARER_FRACTION;
  const findings = told(
    drift,
    taken.turned,
    {
      name: 'cell-resistance-drifting',
      sinceMs: course.chart?.sinceMs ?? nowMs,
      direction,
      now: taken.nowOhms,
      before: taken.beforeOhms,
      limit: null,
      causes: resistanceCauses(direction, true, cell.celsiusPerHour),
    },
    isForTonight ? 'tonight' : 'look',
  );
  // Over hours rising is anodes, films and level; falling is water that went (or an anode that came nearer).
  const slowDirection = taken.nowOhms >= taken.learntOhms ? 'up' : 'down';
  findings.push(
    ...told(
      drift,
      taken.slowTurned,
      {
        name: slowDirection === 'up' ? 'cell-resistance-drifting' : 'liquid-evaporating',
        sinceMs: course.slowSinceMs,
        direction: slowDirection,
        now: taken.nowOhms,
        before: taken.learntOhms,
        limit: null,
        causes: resistanceCauses(slowDirection, false, cell.celsiusPerHour),
      },
      'look',
    ),
  );
  return findings;
}
