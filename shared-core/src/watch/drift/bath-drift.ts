/*
 * The drift watch of one bath: hands each live message to the courses of current, resistance, temperature, rotation and supply, and answers what
 * was found, since when, how much and why. Called by the dashboard with every live message. Streaming, constant memory, no clock; its
 * state is plain numbers, so that it can be kept over a restart. It calls nobody.
 */
import { Phase } from '../../control/phase.js';
import type { LiveView } from '../../messages/api.js';
import { type Block, block, BLOCK_MS, gather } from './block.js';
import { blockFindings } from './block-findings.js';
import { type CurrentCourse, currentCourse } from './current-course.js';
import { rotationCauses } from './drift-causes.js';
import { type DriftFinding, type DriftName, driftNames, type DriftPlan } from './drift-finding.js';
import { forgetLine, type ResistanceCourse, resistanceCourse } from './resistance-course.js';
import { type RotationCourse, rotationCourse, takeRotation } from './rotation-course.js';
import { over, type Standing, told } from './standing.js';
import { isSettled, type Stretch, stretchAfter } from './stretch.js';
import { type SupplyCourse, supplyCourse } from './supply-course.js';
import { type TemperatureCourse, temperatureCourse } from './temperature-course.js';

export interface BathDrift {
  runNumber: number;
  /** null: nothing yet. */
  lastHeardAtMs: number | null;
  /** When plating began; null: not yet in this run. */
  platingSinceMs: number | null;
  stretch: Stretch | null;
  block: Block | null;
  current: CurrentCourse;
  resistance: ResistanceCourse;
  supply: SupplyCourse;
  temperature: TemperatureCourse;
  rotation: RotationCourse;
  standing: Standing;
}

/** A pause in what is heard that is no more than a reconnect. */
const PAUSE_MS = 120_000;
/** After a longer one than this a line through what was before it says nothing any more. */
const LONG_PAUSE_MS = 600_000;
/** A turn that takes so much longer; the controller calls at half as long again. */
const TURN_FRACTION = 0.2;

export function bathDrift(runNumber = 0): BathDrift {
  return {
    runNumber,
    lastHeardAtMs: null,
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
    findings.push(...over(drift.standing, driftNames));
    Object.assign(drift, bathDrift(plan.runNumber));
  }
  bridgePause(drift, nowMs);
  const stretch = stretchAfter(drift.stretch ?? undefined, live, nowMs);
  if (stretch !== (drift.stretch ?? undefined)) {
    findings.push(...over(drift.standing, stretch === undefined ? driftNames : ofStretch));
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
    findings.push(...blockFindings(drift, { ended, stretch, live, plan, nowMs }));
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
  const pauseMs = nowMs - (drift.lastHeardAtMs ?? nowMs);
  drift.lastHeardAtMs = nowMs;
  if (pauseMs >= 0 && pauseMs <= PAUSE_MS) return;
  drift.block = null;
  if (pauseMs >= 0 && pauseMs <= LONG_PAUSE_MS) return;
  drift.temperature.recent = { atMs: [], values: [] };
  drift.supply.recent = { atMs: [], values: [] };
  forgetLine(drift.resistance);
  if (pauseMs >= 0) return;
  drift.rotation.lastPulseAtMs = null;
  // What counts from a time counts on from it by the new clock.
  if (drift.stretch !== null) drift.stretch = { ...drift.stretch, beganAtMs: drift.stretch.beganAtMs + pauseMs };
  if (drift.platingSinceMs !== null) drift.platingSinceMs += pauseMs;
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
    drift.standing,
    turned,
    { name: 'rotation-drifting', sinceMs, direction, now: nowSeconds, before: usualSeconds, limit: null, causes },
    severity,
  );
}
