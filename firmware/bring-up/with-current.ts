/*
 * Commands around the current path: the click of the contactor, and the two calibrations that need a real current: the shunt
 * against a meter, and the supply's analogue input against the shunt. Called from the console. A current flows only through hold-to-run.ts,
 * and of a supply set by hand only what the person set there.
 */
import { SupplyKind } from '@bathkeeper/shared-core/control';
import { BringUpStep } from '@bathkeeper/shared-core/messages';
import { calibrationLine, type CalibrationPoint, roundedTo } from './calibration.js';
import { holdToRun } from './hold-to-run.js';
import { zeroPowerUpCode } from './power-up-code.js';
import { isWithin, type Session, shown, told } from './session.js';

/** What a board file and the console give to every hold. */
export interface HoldTools {
  startIsDown(): boolean;
  detachConsole(isDetached: boolean): void;
}

/** A meter that shows less tells more about its last digit than about the shunt. Ours, no source. */
const METER_AMPS_MIN = 0.2;
const CODE_MAX = 4095;
/** A quarter of the shunt's range at least: what is read there is what a run will carry. Ours, no source. */
const HIGH_POINT_HINT = 'as high as the cables and the dummy load bear, best near the current of your runs';

export interface WithCurrent {
  click(): void;
  meter(amps: unknown): void;
  input(code: unknown): void;
}

export function withCurrent(session: Session, tools: HoldTools): WithCurrent {
  /** Bare shunt amperes of the last steady hold; undefined when it was used or there was none. */
  let held: number | undefined;
  /** Newest last, at most two. */
  let meterPoints: CalibrationPoint[] = [];
  /** `shown` is the code, `truth` amperes by the bare shunt. */
  let inputPoints: CalibrationPoint[] = [];

  /** Highest current and voltage of the rig; undefined, and said, while there are none. */
  const bounds = function (): { amps: number; volts: number } | undefined {
    const rig = session.section('rig');
    const amps = rig['currentAmpsMax'];
    const volts = rig['terminalVoltsMax'];
    if (typeof amps === 'number' && typeof volts === 'number') return { amps: amps, volts: volts };
    print('First limits({...}) and shunt(amps, millivolts): the alert limit is made of them.');
    return undefined;
  };
  const mayFlow = function (): boolean {
    if (session.latchIsProven) return true;
    print('First latch(): no current before the alert latch was seen to open.');
    return false;
  };
  const trueAmps = function (bare: number): number {
    const shunt = session.section('shunt');
    return bare * (shunt['currentGain'] as number) + (shunt['currentOffsetAmps'] as number);
  };
  const fitInput = function (): void {
    const one = inputPoints[0]!;
    const other = inputPoints[1];
    if (!other) {
      print('One point taken. Now a second one, with a code well away from ' + one.shown + '.');
      return;
    }
    // Codes over amperes: the line is turned round.
    const line = calibrationLine(
      { shown: trueAmps(one.truth), truth: one.shown },
      { shown: trueAmps(other.truth), truth: other.shown },
    );
    if (line.problem !== undefined) {
      print(line.problem);
      inputPoints = [other];
      return;
    }
    const supply = session.section('supply');
    if (!isWithin(line.gain, 1, CODE_MAX) || !isWithin(line.offset, -1000, 1000)) {
      print(
        roundedTo(line.gain, 100) +
          ' codes for each ampere and ' +
          Math.round(line.offset) +
          ' at zero cannot be: expected 1 to 4095, and -1000 to 1000. Look at the amplifier and at the range of the input.',
      );
      inputPoints = [];
      return;
    }
    supply['codesPerAmp'] = roundedTo(line.gain, 10000);
    supply['codeAtZero'] = roundedTo(line.offset, 100);
    supply['measured'] = 1;
    session.change();
    session.done(BringUpStep.supplyCalibrated, (supply['codesPerAmp'] as number) * 1000);
    inputPoints = [];
    print(
      'Supply calibrated: ' +
        supply['codesPerAmp'] +
        ' codes for each ampere, ' +
        supply['codeAtZero'] +
        ' at zero. Full scale is ' +
        shown((CODE_MAX - line.offset) / line.gain) +
        ' A. Next: keep().',
    );
  };
  const fitMeter = function (): void {
    const one = meterPoints[0]!;
    const other = meterPoints[1];
    if (!other) {
      print(
        'Point taken: shunt ' +
          shown(one.shown) +
          ' A, meter ' +
          shown(one.truth) +
          ' A. Now a second one, ' +
          HIGH_POINT_HINT +
          ': again a hold, then current(amps).',
      );
      return;
    }
    const line = calibrationLine(one, other);
    if (line.problem !== undefined) {
      print(line.problem);
      meterPoints = [other];
      return;
    }
    if (!isWithin(line.gain, 0.8, 1.25) || !isWithin(line.offset, -1, 1)) {
      print(
        'Gain ' +
          roundedTo(line.gain, 1000) +
          ' and offset ' +
          shown(line.offset) +
          ' A cannot be: expected 0.8 to 1.25, and -1 to 1 A. Is the shunt named rightly by shunt(amps, millivolts)? Are the sense wires on its inner screws, the module without a shunt of its own? Both points are forgotten.',
      );
      meterPoints = [];
      return;
    }
    const shunt = session.section('shunt');
    shunt['currentGain'] = roundedTo(line.gain, 100000);
    shunt['currentOffsetAmps'] = roundedTo(line.offset, 10000);
    shunt['measured'] = 1;
    session.change();
    session.done(BringUpStep.currentCalibrated, Math.max(one.truth, other.truth) * 1000);
    meterPoints = [];
    print(
      'Current calibrated: gain ' +
        shunt['currentGain'] +
        ', offset ' +
        shunt['currentOffsetAmps'] +
        ' A. ' +
        (session.supplyKind === SupplyKind.analogue ? 'Next: supply(code).' : 'Next: keep().'),
    );
  };
  /** A hold whose current is kept for the meter. */
  const hold = function (code: number, taken: (amps: number) => void): void {
    const most = bounds();
    if (!most || !mayFlow()) return;
    held = undefined;
    holdToRun(session, {
      ampsMax: most.amps,
      voltsMax: most.volts,
      code: code,
      hasSupply: true,
      startIsDown: tools.startIsDown,
      detachConsole: tools.detachConsole,
      ended: function (_wasClosed: boolean, amps: number | undefined, says: string): void {
        if (amps === undefined) {
          print('No point: ' + says + '. Try again.');
          return;
        }
        held = amps;
        taken(amps);
      },
    });
  };

  return {
    click: function (): void {
      const most = bounds();
      if (!most) return;
      holdToRun(session, {
        ampsMax: most.amps,
        voltsMax: most.volts,
        code: 0,
        hasSupply: false,
        startIsDown: tools.startIsDown,
        detachConsole: tools.detachConsole,
        ended: function (wasClosed: boolean): void {
          if (!wasClosed) {
            print('It did not click as it should: contactor() again.');
            return;
          }
          session.done(BringUpStep.contactorClicked, 0);
          print('It closed while you held start, and opened when you let go: good. Next: secondMeans().');
        },
      });
      if (session.job) print('Supply off. Now hold start for a second or two, and let go.');
    },
    meter: function (amps: unknown): void {
      if (amps === undefined) {
        hold(0, function (bare: number): void {
          print('The shunt showed ' + shown(bare) + ' A, steady. Type what the meter showed: current(amps).');
        });
        if (session.job) {
          print(
            'Dummy load or short between the bars, nothing in the tank, the meter in series (or a DC clamp, zeroed). Supply: output off, its own current limit set by hand. Hold start; after the click switch the output on; hold on for six seconds, read the meter; output off; let go.',
          );
        }
        return;
      }
      if (!isWithin(amps, METER_AMPS_MIN, 300)) {
        print('current(amps): expected what the meter showed, ' + METER_AMPS_MIN + ' to 300, got ' + told(amps) + '.');
        return;
      }
      if (held === undefined) {
        print('There is no hold to which this belongs. First current(), then the hold, then current(amps).');
        return;
      }
      meterPoints.push({ shown: held, truth: amps });
      held = undefined;
      fitMeter();
    },
    input: function (code: unknown): void {
      if (session.supplyKind !== SupplyKind.analogue) {
        print('This build is for a supply that needs no such calibration.');
        return;
      }
      if (session.section('shunt')['measured'] !== 1) {
        print('First the shunt against a meter: current().');
        return;
      }
      if (!isWithin(code, 1, CODE_MAX) || code !== Math.floor(code)) {
        print(
          'supply(code): expected a whole number from 1 to ' +
            CODE_MAX +
            ', got ' +
            told(code) +
            '. Full scale of the input is ' +
            CODE_MAX +
            ': begin with 200.',
        );
        return;
      }
      try {
        const problem = zeroPowerUpCode(session.board.twoWire);
        if (problem) {
          print('The set-point converter ' + problem + '.');
          return;
        }
      } catch (_) {
        print('The set-point converter does not answer: sensors() says more.');
        return;
      }
      hold(code, function (bare: number): void {
        print('Code ' + code + ' gave ' + shown(trueAmps(bare)) + ' A.');
        inputPoints.push({ shown: code, truth: bare });
        fitInput();
      });
      if (session.job) {
        print(
          'Dummy load or short between the bars, nothing in the tank. Supply: remote input on, output on, its own current limit set by hand as a second bound. Hold start for six seconds, then let go. Code ' +
            code +
            ' goes out while you hold.',
        );
      }
    },
  };
}
