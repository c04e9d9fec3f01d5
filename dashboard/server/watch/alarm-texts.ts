/*
 * What an alarm says: title, what to do first, priority. One place for all of them, in the trade's words, written for
 * three in the morning. Called when an alarm is raised; the controller knows only numbers.
 */
import { Condition } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmView } from '@bathkeeper/shared-core/messages';

export interface AlarmText {
  readonly title: string;
  readonly checkFirst: string;
  readonly priority: AlarmView['priority'];
}

export const alarmTexts: Readonly<Record<AlarmName, AlarmText>> = {
  'rotation-stalled': {
    title: 'Rotation stopped',
    checkFirst:
      'Look whether the part still turns. Stop the motor before hands go into the tank. Then coupling, motor supply, and whether the part touches an anode or a lead. After two minutes the current goes down to 40 % by itself.',
    priority: 'high',
  },
  'current-off-permitted': {
    title: 'Current is not what it should be',
    checkFirst:
      "Compare the supply's own ammeter. Too low: clips, cables, anodes, the voltage ceiling. Too high: the supply's set-point and its remote input.",
    priority: 'high',
  },
  'bath-temperature-out-of-band': {
    title: 'Bath temperature out of its band',
    checkFirst:
      'Check the probe in its sleeve with a second thermometer. Too warm: lower the current, cool the room, look for a heater that sticks. Too cold: bright copper turns dull and burns early.',
    priority: 'medium',
  },
  'controller-silent': {
    title: 'The controller is not heard',
    checkFirst:
      "The controller goes on protecting the bath by itself, but nobody watches. Check Wi-Fi, this computer's network, then the controller's power. If its power failed, the contactor is open and the part stands without current.",
    priority: 'high',
  },
  trip: {
    title: 'Tripped: the contactor is open',
    checkFirst:
      'The part stands without current. Find the cause first; then reset and start at the bath. After more than about a minute: take the part out, dip it in 5 to 10 % sulphuric acid, and mark the piece.',
    priority: 'high',
  },
  'contactor-contradicts': {
    title: 'The contactor does not obey: current may still flow',
    checkFirst:
      'Switch the supply off at its mains now. The controller has told the contactor to open and it says that it is closed, or the other way round: a contact may have welded. Keep hands out of the tank until the ammeter shows nothing.',
    priority: 'high',
  },
  held: {
    title: 'Held at the keep-alive current',
    checkFirst: 'The deposit is kept alive but hardly grows. Find the cause, then press start at the bath to go on.',
    priority: 'high',
  },
  'sensor-fault': {
    title: 'The temperature probe cannot be believed',
    checkFirst:
      "Check the probe's plug and cable. After ten minutes without a good reading the controller holds the run.",
    priority: 'medium',
  },
  'notification-failed': {
    title: 'A call did not get through',
    checkFirst: 'Open the settings, press "test", and read what the receiver answered. It is tried again meanwhile.',
    priority: 'medium',
  },
  'message-refused': {
    title: 'A message was refused',
    checkFirst:
      'Somebody sent what no controller of yours sends: a wrong password, a foreign topic, or another version. After a re-flash, pair the controller again; otherwise look who is on your network.',
    priority: 'low',
  },
};

/** What the controller says of a condition: value x 1000 and limit x 1000. */
export function conditionWords(code: number, a = 0, b = 0): string {
  const value = a / 1000;
  const limit = b / 1000;
  const told = (quantity: string, unit: string, digits = 1): string =>
    `${quantity} ${value.toFixed(digits)} ${unit}, limit ${limit.toFixed(digits)} ${unit}`;
  switch (code) {
    case Condition.currentHigh:
      return told('current over 120 % of permitted:', 'A', 2);
    case Condition.currentVeryHigh:
      return told('current over 150 % of permitted:', 'A', 2);
    case Condition.alertLatch:
      return 'the shunt monitor opened the alert latch: over-current';
    case Condition.monitorSilent:
      return 'the shunt monitor does not answer';
    case Condition.monitorChanged:
      return 'the shunt monitor lost its settings (a brown-out?)';
    case Condition.monitorClipped:
      return 'the shunt monitor is at full scale: more current than it can measure';
    case Condition.bathWarm:
    case Condition.bathHot:
    case Condition.bathOverheated:
      return told('bath', '°C');
    case Condition.probeFault:
    case Condition.probeFaultLong:
      return 'no good temperature reading';
    case Condition.rotationStopped:
      return `no rotation pulse for ${value.toFixed(0)} s, limit ${limit.toFixed(0)} s`;
    case Condition.rotationStoppedLong:
      return 'rotation stopped for long: current lowered';
    case Condition.emergencyStop:
      return 'the emergency stop was pressed';
    case Condition.contactorDropped:
      return 'the contactor opened without being told';
    case Condition.restartedInRun:
      return 'the controller restarted in mid-run';
    case Condition.contactorContradicts:
      return "the contactor's feedback contradicts what was asked of it";
    case Condition.chargeReached:
      return 'the charge was reached';
    case Condition.longestRun:
      return 'the longest run time was reached';
    default:
      return `condition ${String(code)}`;
  }
}

/** Which alarm a condition of the controller raises by itself; holds and trips raise theirs with the phase. */
export function alarmOfCondition(code: number): AlarmName | undefined {
  switch (code) {
    case Condition.rotationStopped:
      return 'rotation-stalled';
    case Condition.contactorContradicts:
      return 'contactor-contradicts';
    case Condition.bathWarm:
      return 'bath-temperature-out-of-band';
    case Condition.probeFault:
      return 'sensor-fault';
    default:
      return undefined;
  }
}
