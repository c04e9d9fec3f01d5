/*
 * Commands that move something without current: the motor after an announcement, the second means with the contactor open, and the
 * alert latch's own test. Called from the console. None of them can close the contactor.
 */
import { MonitorFault } from '@bathkeeper/shared-core/control';
import { BringUpStep } from '@bathkeeper/shared-core/messages';
import { roundedTo } from './calibration.js';
import { isWithin, type Session, shown, told } from './session.js';

const ANNOUNCED_MS = 5000;
const MOTOR_SECONDS_MAX = 120;
const SECOND_MEANS_MS = 3000;
const LATCH_MS = 5000;

/** Buzzer for 5 s, then the motor; counts the pulses of the shaft. */
export function turnMotor(session: Session, asked: unknown): void {
  const seconds = asked === undefined ? 30 : asked;
  if (!isWithin(seconds, 1, MOTOR_SECONDS_MAX)) {
    print('motor(seconds): expected 1 to ' + MOTOR_SECONDS_MAX + ', got ' + told(seconds) + '.');
    return;
  }
  const board = session.board;
  let startMs = -1;
  let pulsesBefore = 0;
  const end = function (why: string): void {
    const pulses = board.rotation.pulses - pulsesBefore;
    session.allOff();
    if (why) print('Motor off: ' + why + '.');
    if (startMs < 0) return;
    if (!pulses) {
      print('No pulse. Does the shaft turn? Then look at the sensor, its magnet and its wire, and motor() again.');
      return;
    }
    session.done(BringUpStep.motorTurned, pulses);
    print(
      pulses +
        ' pulses' +
        (board.rotation.periodMs ? ', ' + roundedTo(60000 / board.rotation.periodMs, 10) + ' a minute' : '') +
        '. Did it turn the right way? The recipe wants 6 a minute or more. Next: contactor().',
    );
  };
  print(
    'Hands out of the tank. The buzzer sounds for 5 s, then the motor turns for ' +
      seconds +
      ' s; stop at the bath ends it.',
  );
  let announcedMs = -1;
  session.begin({
    beat: function (nowMs: number): boolean {
      if (announcedMs < 0) announcedMs = nowMs;
      if (startMs < 0) {
        board.buzzer.write(true);
        if (nowMs - announcedMs < ANNOUNCED_MS) return true;
        startMs = nowMs;
        pulsesBefore = board.rotation.pulses;
        board.buzzer.write(false);
        board.motor.write(true);
        return true;
      }
      if (nowMs - startMs < seconds * 1000) return true;
      end('');
      return false;
    },
    stop: function (why: string): void {
      end(why);
      session.job = undefined;
    },
  });
}

/** The second means on for 3 s and off again, contactor open: the person hears it, and the terminals may show it. */
export function clickSecondMeans(session: Session): void {
  const board = session.board;
  const inputs = session.inputs;
  if (inputs.contactorClosed) {
    print('The contactor is closed. Open it first: emergency stop.');
    return;
  }
  print('The second means closes for 3 s and opens again. Listen, or look at the supply.');
  let startMs = -1;
  let voltsOn = 0;
  session.begin({
    beat: function (nowMs: number): boolean {
      if (startMs < 0) {
        startMs = nowMs;
        board.supplyEnable.write(true);
      }
      if (nowMs - startMs < SECOND_MEANS_MS) {
        voltsOn = inputs.terminalVolts;
        return true;
      }
      board.supplyEnable.write(false);
      session.done(BringUpStep.secondMeansClicked, 0);
      print(
        'Off again. Terminals while it was on: ' +
          (inputs.monitorFault === MonitorFault.none
            ? shown(voltsOn) + ' V'
            : 'not known, the shunt monitor does not answer') +
          '. If nothing clicked and the supply did not come on, it is not wired: do not run without it.',
      );
      return false;
    },
    stop: function (why: string): void {
      session.allOff();
      session.job = undefined;
      print('Off: ' + why + '.');
    },
  });
}

/** The monitor is told a limit that no current meets: the latch must open, without any program. */
export function testLatch(session: Session): void {
  const inputs = session.inputs;
  if (inputs.monitorFault !== MonitorFault.none) {
    print('The shunt monitor does not answer: sensors() says more.');
    return;
  }
  if (inputs.contactorClosed) {
    print('The contactor is closed. Open it first: emergency stop.');
    return;
  }
  if (inputs.alertLatchOpen) {
    print('The alert latch is open, as after each power-up. Close it with its own button, then latch() again.');
    return;
  }
  let startMs = -1;
  session.latchIsProven = false;
  session.alertAmps = undefined;
  print('The latch must open now, by itself.');
  session.begin({
    beat: function (nowMs: number): boolean {
      if (startMs < 0) startMs = nowMs;
      if (inputs.alertLatchOpen) {
        session.restAlert();
        session.latchIsProven = true;
        session.done(BringUpStep.latchTested, 0);
        print('It opened: good. Close it again with its own button.');
        return false;
      }
      if (nowMs - startMs < LATCH_MS) return true;
      session.restAlert();
      print(
        'It did NOT open. Expected: the ALERT pin of the shunt monitor goes low and opens the latch within 5 s. Look at that wire and at the latch. Do not run before it opens.',
      );
      return false;
    },
    stop: function (why: string): void {
      session.restAlert();
      session.job = undefined;
      print('Test ended: ' + why + '.');
    },
  });
}
