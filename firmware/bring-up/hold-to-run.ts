/*
 * The only way in which bring-up lets the contactor close: while a person holds the start button down. Let go, and it opens within
 * a fifth of a second; the chain's own links open it without any program. Used by the contactor's click and by both calibrations of
 * current. At most a minute, only with the alert latch closed, its limit armed, and the terminals dead before closing.
 *
 * The console is detached meanwhile: a stray byte on it could take the beat away, and then only the one-shot would end the hold.
 */
import { MonitorFault } from '@bathkeeper/shared-core/control';
import { writeCode } from '../src/drivers/mcp4725.js';
import type { Session } from './session.js';
import { shown } from './session.js';

const ARMED_MS = 120000;
const CLOSES_MS = 2000;
const OPENS_MS = 1000;
const HELD_MS = 60000;
/** Readings of the first seconds are left out: the supply settles. */
const SETTLE_MS = 3000;
const READINGS_MIN = 10;
/** Of the readings, highest to lowest: not more than the larger of these. Ours, no source. */
const STEADY_FRACTION = 0.02;
const STEADY_AMPS = 0.1;
const DEAD_VOLTS = 0.5;

export interface HoldRequest {
  /** The alert limit and the highest current, true amperes as far as is known. */
  readonly ampsMax: number;
  readonly voltsMax: number;
  /** Set-point after closing; 0 where the supply is set by hand or not connected. */
  readonly code: number;
  /** False: a click of the contactor, no supply is switched on. */
  readonly hasSupply: boolean;
  startIsDown(): boolean;
  /** Tells whether the console may listen. */
  detachConsole(isDetached: boolean): void;
  /**
   * It is over, everything is open. `wasClosed`: the contactor closed and opened again when it should. `amps` is the mean of a steady
   * current by the bare shunt; undefined when it was not steady or too short, and then `says` says so.
   */
  ended(wasClosed: boolean, amps: number | undefined, says: string): void;
}

const WAITING = 0;
const CLOSING = 1;
const CLOSED = 2;
const OPENING = 3;

/** Arms it. What is missing is said, and nothing begins. */
export function holdToRun(session: Session, request: HoldRequest): void {
  const board = session.board;
  const inputs = session.inputs;
  const missing =
    inputs.monitorFault !== MonitorFault.none
      ? 'The shunt monitor does not answer: sensors() says more.'
      : inputs.emergencyStopPressed
        ? 'The emergency stop is pressed: turn its head.'
        : inputs.contactorClosed
          ? 'The contactor is closed and should be open. If it is welded: change it.'
          : inputs.alertLatchOpen
            ? 'The alert latch is open: close it with its own button.'
            : !request.hasSupply && inputs.terminalVolts >= DEAD_VOLTS
              ? 'The terminals carry ' +
                shown(inputs.terminalVolts) +
                ' V. Switch the supply off: this click is without supply.'
              : '';
  if (missing) {
    print(missing);
    return;
  }
  let phase = WAITING;
  let sinceMs = -1;
  let ticks = 0;
  let why = '';
  let wasClosed = false;
  let sum = 0;
  let count = 0;
  let least = 0;
  let most = 0;

  const setPoint = function (code: number): void {
    if (!request.code) return;
    try {
      writeCode(board.twoWire, code);
    } catch (_) {
      why = why || 'the set-point converter does not answer';
    }
  };
  const open = function (because: string, nowMs: number): void {
    why = because;
    // The contactor first: a stuck bus may hold the write of the set-point up for a second.
    session.allOff();
    setPoint(0);
    phase = OPENING;
    sinceMs = nowMs;
  };
  const finish = function (): void {
    session.restAlert();
    session.job = undefined;
    request.detachConsole(false);
    if (inputs.contactorClosed) {
      board.buzzer.write(true);
      print(
        'THE CONTACTOR DID NOT OPEN. Switch the supply off at its mains, press the emergency stop. It is welded, or its wiring is wrong.',
      );
      return;
    }
    if (why !== 'let go') {
      print('Opened: ' + why + '.');
      request.ended(false, undefined, why);
      return;
    }
    const isSteady = count >= READINGS_MIN && most - least <= Math.max(STEADY_AMPS, (sum / count) * STEADY_FRACTION);
    request.ended(
      wasClosed,
      isSteady ? sum / count : undefined,
      count < READINGS_MIN
        ? 'held too short: hold it for six seconds at least'
        : isSteady
          ? ''
          : 'not steady: ' + shown(least) + ' to ' + shown(most) + ' A',
    );
  };
  /** Why it must open now; empty: all is well. */
  const danger = function (nowMs: number): string {
    if (!request.startIsDown()) return 'let go';
    if (inputs.emergencyStopPressed) return 'emergency stop';
    if (inputs.alertLatchOpen) return 'the alert latch opened: more than ' + shown(request.ampsMax) + ' A';
    if (inputs.monitorFault !== MonitorFault.none) return 'the shunt monitor stopped answering';
    if (Math.abs(inputs.currentAmps) > request.ampsMax) return 'current above ' + shown(request.ampsMax) + ' A';
    if (inputs.terminalVolts > request.voltsMax) return 'terminals above ' + shown(request.voltsMax) + ' V';
    if (phase === CLOSED && !inputs.contactorClosed) return 'the contactor opened by itself';
    if (phase === CLOSED && nowMs - sinceMs > HELD_MS) return 'a minute is over';
    return why;
  };

  session.alertAmps = request.ampsMax;
  session.begin({
    beat: function (nowMs: number): boolean {
      if (sinceMs < 0) {
        sinceMs = nowMs;
        if (request.hasSupply) board.supplyEnable.write(true);
      }
      if (phase === WAITING) {
        if (nowMs - sinceMs > ARMED_MS) {
          open('nobody pressed start within two minutes', nowMs);
        } else if (request.startIsDown()) {
          if (inputs.terminalVolts >= DEAD_VOLTS) {
            open(
              'the terminals carried ' +
                shown(inputs.terminalVolts) +
                ' V before closing. Switch the output on only after the click',
              nowMs,
            );
          } else {
            phase = CLOSING;
            sinceMs = nowMs;
            session.isHeld = true;
            request.detachConsole(true);
            board.buzzer.write(true);
          }
        }
      }
      if (phase === CLOSING || phase === CLOSED) {
        const reason = danger(nowMs);
        if (reason) {
          open(reason, nowMs);
        } else {
          board.contactorEnable.write(true);
          board.oneShotTrigger.write((++ticks & 1) === 1);
        }
      }
      if (phase === CLOSING) {
        if (inputs.contactorClosed) {
          phase = CLOSED;
          wasClosed = true;
          sinceMs = nowMs;
        } else if (nowMs - sinceMs > CLOSES_MS) {
          open(
            'the contactor did not close: look at the chain (hold relay, one-shot, 24 V), the coil, the auxiliary contact',
            nowMs,
          );
        }
      } else if (phase === CLOSED) {
        setPoint(request.code);
        if (nowMs - sinceMs > SETTLE_MS) {
          const amps = inputs.currentAmps;
          if (!count || amps < least) least = amps;
          if (!count || amps > most) most = amps;
          sum += amps;
          count++;
        }
      }
      if (phase === OPENING && (!inputs.contactorClosed || nowMs - sinceMs > OPENS_MS)) {
        finish();
        return false;
      }
      return true;
    },
    stop: function (because: string): void {
      if (phase !== OPENING) open(because, board.uptimeMs());
    },
  });
}
