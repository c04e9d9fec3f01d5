/*
 * The leave-alone check: what speaks for and against leaving a run alone, each item with its reason and what to do. Pure: asked by
 * house-routes.ts with what was found. It advises; nothing waits for it. What is not known counts as missing.
 */
import { isLive } from '@bathkeeper/shared-core/control';
import { BringUpStep, type ControllerView, type HeartbeatView, type LeaveAloneItem, type LeaveAloneView } from '@bathkeeper/shared-core/messages'; // prettier-ignore
import { type ComputerEvidence, type Evidence, good, missing, unknown } from './computer-questions.js';
import { bytesWords, diskLimitBytes, type DiskSpace } from './disk-space.js';
import { durationWords } from './durations.js';
import type { LinkRecord } from './link-record.js';

const DAY_MS = 86_400_000;
/** A shunt in acid air and a probe in the bath are compared twice a year. Our own practice, no source. */
const CALIBRATION_DAYS_MAX = 183;
/** A mesh that hands a controller over now and then is well; more is a weak link. Our own practice, no source. */
const RECONNECTS_MAX = 3;
/** Of a hundred thousand seconds some may be lost to a full memory of the controller; a hundredth is too many. */
const MISSING_FRACTION_MAX = 0.01;

export interface LeaveAloneFindings {
  readonly nowMs: number;
  readonly controller: ControllerView;
  readonly controllerCount: number;
  /** The device that asks, when it is one that is called; undefined: another, or not known. */
  readonly thisDevice: { readonly lastConfirmedAtMs: number | null } | undefined;
  readonly lastConfirmation: { readonly atMs: number; readonly contactName: string } | undefined;
  readonly contactCount: number;
  /** Where the links in calls lead; undefined: calls have none. */
  readonly pageAddress: string | undefined;
  readonly link: LinkRecord;
  readonly disk: DiskSpace | undefined;
  readonly computer: ComputerEvidence;
  readonly isClockDoubted: boolean;
  readonly heartbeat: HeartbeatView;
}

export function leaveAloneView(found: LeaveAloneFindings): LeaveAloneView {
  const item = (name: LeaveAloneItem['name'], evidence: Evidence): LeaveAloneItem => ({ name, ...evidence });
  return {
    controllerId: found.controller.controllerId,
    checkedAtMs: found.nowMs,
    plannedFinishAtMs: finishAtMs(found),
    items: [
      item('call-confirmed', callConfirmed(found)),
      item('page-address', linksLead(found)),
      item('link-quality', linkQuality(found)),
      item('rig-limits', rigLimits(found)),
      item('calibration-age', calibrationAge(found)),
      item('disk', disk(found)),
      item('sleep', found.computer.sleep),
      item('automatic-update', found.computer.automaticUpdate),
      item('starts-after-power-cut', found.computer.startsAfterPowerCut),
      item('clock', clock(found)),
      item('outward-heartbeat', outwardHeartbeat(found)),
      item('finish-time', finishTime(found)),
    ],
  };
}

function callConfirmed({ nowMs, thisDevice, lastConfirmation, contactCount }: LeaveAloneFindings): Evidence {
  if (contactCount === 0)
    return missing('Nobody can be called: nobody has a phone. Add somebody under Calls, and make a test call.');
  const why =
    'Make a test call to the locked phone in its night mode, and confirm it there: only that shows that a call wakes you.';
  if (thisDevice !== undefined) {
    const { lastConfirmedAtMs } = thisDevice;
    if (lastConfirmedAtMs === null) return missing(`No call was ever confirmed on this phone. ${why}`);
    const ageMs = nowMs - lastConfirmedAtMs;
    const words = `The last call was confirmed on this phone ${durationWords(ageMs)} ago`;
    return ageMs <= DAY_MS ? good(`${words}.`) : missing(`${words}, longer than a day. ${why}`);
  }
  const elsewhere = 'This device itself is not called by Web Push: look that it is the phone that lies beside you.';
  if (lastConfirmation === undefined) return missing(`No call was ever confirmed on a phone. ${why}`);
  const ageMs = nowMs - lastConfirmation.atMs;
  const last = `The last call was confirmed by ${lastConfirmation.contactName} ${durationWords(ageMs)} ago`;
  return ageMs <= DAY_MS ? good(`${last}. ${elsewhere}`) : missing(`${last}, longer than a day. ${why}`);
}

/** A call is acknowledged by the link in it, where the phone can open that. */
function linksLead({ pageAddress }: LeaveAloneFindings): Evidence {
  const advice =
    'Start the dashboard with --page-address and the address that a phone opens, or acknowledge at the bath or on this computer.';
  if (pageAddress === undefined) return missing(`Calls have no link: nobody can acknowledge from them. ${advice}`);
  return isThisComputerOnly(pageAddress)
    ? missing(`The link in a call leads to ${pageAddress}, which no phone can open. ${advice}`)
    : good(`The link in a call leads to ${pageAddress}: try it on the phone, in the network in which it will lie.`);
}

/** Loopback (RFC 1122, 3.2.1.3; RFC 4291, 2.5.3; RFC 6761, 6.3). */
function isThisComputerOnly(address: string): boolean {
  const host = new URL(address).hostname;
  return host === 'localhost' || host.endsWith('.localhost') || host === '[::1]' || host.startsWith('127.');
}

function linkQuality({ controller, link }: LeaveAloneFindings): Evidence {
  const advice =
    'Bring the access point nearer, or give the controller a better aerial; it protects the bath without the link, but nobody would be called.';
  if (!controller.isOnline) return missing(`The controller is not heard now. ${advice}`);
  if (link.secondsExpected === 0)
    return unknown('No record of the last hours is in the store yet. Look again in some minutes.');
  const missingSeconds = link.secondsExpected - link.secondsStored;
  const span = durationWords(link.secondsExpected * 1000);
  const reconnects = `it connected anew ${link.reconnects === 0 ? 'not once' : link.reconnects === 1 ? 'once' : `${String(link.reconnects)} times`} in ${durationWords(link.watchedMs)}`;
  const records =
    missingSeconds === 0
      ? `No record of the last ${span} is missing`
      : `${String(missingSeconds)} s of the last ${span} are missing`;
  const waiting =
    controller.recordsWaitingAtController > 60
      ? `; ${String(controller.recordsWaitingAtController)} records wait at the controller`
      : '';
  const words = `${records}; ${reconnects}${waiting}.`;
  const isWell =
    missingSeconds <= link.secondsExpected * MISSING_FRACTION_MAX &&
    link.reconnects <= RECONNECTS_MAX &&
    waiting === '';
  return isWell ? good(words) : missing(`${words} ${advice}`);
}

function stepDoneAtMs(controller: ControllerView, step: BringUpStep): number | undefined {
  return controller.told?.bringUp.find((one) => one.step === step)?.atMs;
}

function rigLimits({ controller, nowMs }: LeaveAloneFindings): Evidence {
  if (controller.isSimulated) return good('A simulated rig has the limits that it was given.');
  const atMs = stepDoneAtMs(controller, BringUpStep.limitsSet);
  return atMs === undefined
    ? unknown(
        'This dashboard was never told that the limits of the rig were set. Set them at the bath, over USB: the bring-up page says how.',
      )
    : good(`The limits of the rig were set at the bath ${durationWords(nowMs - atMs)} ago.`);
}

function calibrationAge({ controller, nowMs }: LeaveAloneFindings): Evidence {
  if (controller.isSimulated) return good('A simulated rig needs no calibration.');
  const parts = (
    [
      ['current', BringUpStep.currentCalibrated],
      ['temperature', BringUpStep.temperatureCalibrated],
    ] as const
  ).map(([name, step]) => ({ name, atMs: stepDoneAtMs(controller, step) }));
  const never = parts.filter(({ atMs }) => atMs === undefined).map(({ name }) => name);
  if (never.length > 0)
    return unknown(
      `This dashboard was never told that ${never.join(' and ')} ${never.length > 1 ? 'were' : 'was'} calibrated. Compare with a clamp meter and a second thermometer: the bring-up page says how.`,
    );
  const ages = parts.map(({ name, atMs }) => ({ name, ageMs: nowMs - atMs! }));
  const old = ages.filter(({ ageMs }) => ageMs > CALIBRATION_DAYS_MAX * DAY_MS);
  const words = ages.map(({ name, ageMs }) => `${name} ${durationWords(ageMs)} ago`).join(', ');
  return old.length === 0
    ? good(`Calibrated: ${words}.`)
    : missing(
        `Calibrated: ${words}, longer than half a year. Compare again with a clamp meter and a second thermometer.`,
      );
}

function disk({ disk: space, controllerCount }: LeaveAloneFindings): Evidence {
  if (space === undefined)
    return unknown('How much room the disk has is not known. Look at the disk that holds the data folder.');
  const limit = diskLimitBytes(controllerCount);
  const words = `${bytesWords(space.freeBytes)} of ${bytesWords(space.totalBytes)} are free`;
  return space.freeBytes >= limit
    ? good(`${words}.`)
    : missing(
        `${words}, expected at least ${bytesWords(limit)}. When it is full nothing is stored any more: free some.`,
      );
}

function clock({ isClockDoubted, computer }: LeaveAloneFindings): Evidence {
  return isClockDoubted
    ? missing('The clock of this computer is wrong, or was set just now: see the alarm. Look again when it is right.')
    : computer.clock;
}

function outwardHeartbeat({ heartbeat, nowMs }: LeaveAloneFindings): Evidence {
  if (!heartbeat.isSet)
    return missing(
      'If this computer dies, nobody outside notices. Enter an address in the settings that calls you when the heartbeat stays away.',
    );
  if (heartbeat.lastFailure !== null)
    return missing(`The outward heartbeat does not get through. ${heartbeat.lastFailure}`);
  if (heartbeat.lastAnsweredAtMs === null)
    return unknown('The outward heartbeat has not been answered yet. Look again in a minute.');
  return good(`The outward heartbeat was answered ${durationWords(nowMs - heartbeat.lastAnsweredAtMs)} ago.`);
}

function finishAtMs({ controller, nowMs }: LeaveAloneFindings): number | null {
  const { run, live, waitingRecipe } = controller;
  if (live !== null && isLive(live.phase)) return run?.plannedFinishAtMs ?? null;
  return waitingRecipe === null ? null : nowMs + waitingRecipe.plannedSeconds * 1000;
}

function finishTime(found: LeaveAloneFindings): Evidence {
  const { live, waitingRecipe } = found.controller;
  const atMs = finishAtMs(found);
  const isRunning = live !== null && isLive(live.phase);
  if (isRunning && atMs === null)
    return missing('When it will be done nobody can tell: the run is held, or its current does not flow as planned.');
  if (isRunning)
    return good(
      `It will be done in about ${durationWords(atMs! - found.nowMs)}. Be there some minutes before: it then stands without current.`,
    );
  if (waitingRecipe !== null)
    return good(`From the press of start it takes about ${durationWords(waitingRecipe.plannedSeconds * 1000)}.`);
  return missing('No run is live and no recipe waits: there is nothing to leave alone yet.');
}
