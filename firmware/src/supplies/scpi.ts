/*
 * A supply with a serial line that speaks SCPI (IEEE 488.2, SCPI-1999): set-point, voltage ceiling and output are set, and each is read
 * back. Called in each control step; one question at a time is under way, its answer is fetched in a later step, and nothing waits.
 * A set-point that the supply forgot is sent again; an output that it switched off by itself never is: that needs a new start.
 */
import { type Inputs, MonitorFault, SupplyFault, SupplyKind } from '@bathkeeper/shared-core/control';
import type { Board } from '../ports.js';
import type { Settings } from '../settings.js';
import type { SupplyOutput } from './supply-output.js';

export const SUPPLY_KIND = SupplyKind.scpi;
export const BUS_HERTZ = 400000;

/** Questions by turns; each from the second on is asked once in five exchanges, in ten while the set-point moves. */
const IDENTITY = 0;
const ERRORS = 1;
const CEILING = 2;
const OUTPUT = 3;
const MEASURED = 4;
const CURRENT = 5;
const QUESTIONS = ['*IDN?', 'SYST:ERR?', 'VOLT?', 'OUTP?', 'MEAS:CURR?', 'CURR?'];
/** Steps of 0.2 s that an answer may take. */
const ANSWER_STEPS = 6;
/** Of an answer; an identity has at most 72 characters (IEEE 488.2, 10.14). */
const LINE_MAX = 96;
/** SCPI-1999 (7.2.1): 9.9E37 is infinity, 9.91E37 is not a number. */
const NUMBER_MAX = 9.9e36;
/** Rounding of the supply's own: of the set-point, and at least one of its steps of a tenth; ours, no source. */
const ROUNDING = 0.01;
const ROUNDING_LEAST = 0.11;
/** Between the supply's own current and the shunt's: two instruments, one of them not calibrated; ours, no source. */
const MEASURED_ROUNDING = 0.1;
const MEASURED_ROUNDING_LEAST = 0.5;
const SETTLE_MS = 3000;

/** A number with two decimals from whole hundredths: the interpreter's own way truncates. Example: 1234 is `12.34`. */
export function decimalText(hundredths: number): string {
  const rest = hundredths % 100;
  return Math.floor(hundredths / 100) + (rest < 10 ? '.0' : '.') + rest;
}

/** The number that an answer begins with; undefined when there is none, or SCPI's infinity or not-a-number. */
export function answeredNumber(line: string): number | undefined {
  const value = parseFloat(line);
  return value >= -NUMBER_MAX && value <= NUMBER_MAX ? value : undefined;
}

export function supplyOutput(board: Board, settings: Settings): SupplyOutput {
  const ceilingHundredths = Math.floor(settings.limits.terminalVoltsMax * 100 + 1e-6);
  /** Of each question: what its last answer showed. */
  const faults: SupplyFault[] = [];
  let received = '';
  /** The question under way, and where the turns are: a set-point that changes is put between them. */
  let turn = IDENTITY;
  let round = CURRENT;
  let isAwaiting = false;
  let stepsAwaited = 0;
  /** Wrong answers in a row. After two the line is left to drain, so that a late answer, or one too many, shifts no others. */
  let wrongAnswers = 0;
  let quietSteps = 0;
  /** What the answer under way should be. */
  let expected = 0;
  let asked = 0;
  let movedMs = 0;
  /** What the supply was told last and should carry, -1: nothing that can be relied on. Currents in hundredths of an ampere. */
  let toldCurrent = -1;
  let toldCeiling = -1;
  let toldOutput = -1;
  /** The output was seen on in this start: if it goes off now, the supply had a reason. */
  let hasBeenOn = false;
  /** Set-point and output that were seen at zero since more was asked: bits 1 and 2. */
  let zeroSeen = 0;

  const forgetAll = function (fault: SupplyFault): void {
    for (let i = 0; i < QUESTIONS.length; i++) faults[i] = fault;
    toldCurrent = toldCeiling = toldOutput = -1;
    zeroSeen = 0;
  };

  const send = function (line: string): void {
    serial.write(line + '\n');
  };

  /** The next question, with what has to be told before it. The set-point comes first whenever it changed, every other time at most. */
  const ask = function (): void {
    const wantsOutput = asked > 0 ? 1 : 0;
    if (faults[IDENTITY]) {
      turn = IDENTITY;
      // Perhaps it hears and only its answers are lost: a current that is to fall must fall.
      if (hasBeenOn) send('CURR ' + decimalText(asked));
    } else if (turn !== CURRENT && toldCurrent !== asked) turn = CURRENT;
    else turn = round = (round % CURRENT) + 1;

    if (turn === CURRENT) {
      if (toldCurrent !== asked) send('CURR ' + decimalText(asked));
      toldCurrent = asked;
      expected = asked / 100;
    }
    if (turn === CEILING) {
      if (toldCeiling < 0) send('VOLT ' + decimalText(ceilingHundredths));
      toldCeiling = ceilingHundredths;
      expected = ceilingHundredths / 100;
    }
    if (turn === OUTPUT) {
      // On only once set-point and ceiling were read back, and once in a start.
      if (toldOutput !== wantsOutput && (!wantsOutput || (!hasBeenOn && !faults[CURRENT] && !faults[CEILING]))) {
        send('OUTP ' + wantsOutput);
        toldOutput = wantsOutput;
      }
      expected = toldOutput < 0 ? wantsOutput : toldOutput;
    }
    received = '';
    send(QUESTIONS[turn]!);
    isAwaiting = true;
    stepsAwaited = 0;
  };

  /** What an answer shows. */
  const judged = function (line: string, inputs: Inputs, nowMs: number): SupplyFault {
    // Four fields with commas between them. A number here is the late answer to an earlier question.
    if (turn === IDENTITY) return line.indexOf(',') < 0 ? SupplyFault.silent : SupplyFault.none;
    const value = answeredNumber(line);
    if (value === undefined) return SupplyFault.notAsAsked;
    if (turn === ERRORS) return value ? SupplyFault.refused : SupplyFault.none;
    let tolerance = Math.max(expected * ROUNDING, ROUNDING_LEAST);
    if (turn === MEASURED) {
      if (inputs.monitorFault !== MonitorFault.none || nowMs - movedMs < SETTLE_MS) return faults[turn]!;
      expected = inputs.currentAmps;
      tolerance = Math.max(expected * MEASURED_ROUNDING, MEASURED_ROUNDING_LEAST);
    }
    return Math.abs(value - expected) <= tolerance ? SupplyFault.none : SupplyFault.notAsAsked;
  };

  const take = function (line: string, inputs: Inputs, nowMs: number): void {
    const fault = judged(line, inputs, nowMs);
    if (turn === IDENTITY && !fault) {
      // It answers, perhaps anew: all the rest is proved from the beginning.
      forgetAll(SupplyFault.silent);
      faults[MEASURED] = SupplyFault.none;
    }
    faults[turn] = fault;
    wrongAnswers = fault ? wrongAnswers + 1 : 0;
    if (wrongAnswers > 1) quietSteps = ANSWER_STEPS;
    if (turn === CURRENT) {
      if (fault) toldCurrent = -1;
      else if (!expected) zeroSeen |= 1;
    }
    if (turn === CEILING && fault) toldCeiling = -1;
    if (turn === OUTPUT) {
      if (fault) toldOutput = -1;
      else if (!expected) zeroSeen |= 2;
      else hasBeenOn = true;
    }
  };

  const output: SupplyOutput = {
    kind: SUPPLY_KIND,
    fault: SupplyFault.silent,
    isAtZero: false,
    write: function (permittedAmps: number, inputs: Inputs, _isSteady: boolean, nowMs: number): void {
      const hundredths = permittedAmps > 0 ? Math.floor(permittedAmps * 100 + 1e-6) : 0;
      if (hundredths !== asked) {
        asked = hundredths;
        movedMs = nowMs;
        if (asked) zeroSeen = 0;
      }
      if (!asked) {
        hasBeenOn = false;
        if (toldCurrent || toldOutput) {
          // Off at once, whatever is under way and whether it answers or not; it is read back by turns.
          send('OUTP 0');
          send('CURR 0');
          toldCurrent = toldOutput = 0;
        }
      }
      if (isAwaiting) {
        const end = received.indexOf('\n');
        if (end < 0 && ++stepsAwaited < ANSWER_STEPS) return;
        isAwaiting = false;
        if (end < 0) forgetAll(SupplyFault.silent);
        else take(received.substr(0, end), inputs, nowMs);
      }
      if (quietSteps > 0) quietSteps--;
      else ask();
      output.fault = SupplyFault.none;
      for (let i = 0; i < faults.length; i++) if (faults[i]! && !output.fault) output.fault = faults[i]!;
      output.isAtZero = zeroSeen === 3 && !output.fault;
    },
  };

  forgetAll(SupplyFault.silent);
  const serial = board.openSerial(settings.supplyBaud || 9600, function (text: string): void {
    received += text;
    if (received.length > LINE_MAX) received = received.substr(received.length - LINE_MAX);
  });
  return output;
}
