/*
 * What an alarm says: title, what to do first, priority. One place for all of them, in the trade's words, written for
 * three in the morning: what to do begins with the act, its caution stands beside it, reasons come last. Called when an alarm is raised; the controller knows only numbers.
 */
import { Condition } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmView } from '@bathkeeper/shared-core/messages';
import { adviceFor, conditionAdvice } from '@bathkeeper/shared-core/watch';

export interface AlarmText {
  readonly title: string;
  readonly checkFirst: string;
  readonly priority: AlarmView['priority'];
}

/** `high` and `medium` call the phone, `low` is shown and wakes nobody. A mere note of the controller is no alarm at all. */
export const alarmTexts: Readonly<Record<AlarmName, AlarmText>> = {
  'current-does-not-fall': {
    title: 'CURRENT STILL FLOWS: switch the supply off at its mains',
    checkFirst: conditionAdvice[Condition.currentDoesNotFall],
    priority: 'high',
  },
  'contactor-contradicts': {
    title: 'THE CONTACTOR DOES NOT OBEY: switch the supply off at its mains',
    checkFirst: conditionAdvice[Condition.contactorContradicts],
    priority: 'high',
  },
  trip: {
    title: 'Tripped: the contactor is open',
    checkFirst:
      'Find the cause, then reset and start at the bath. The part stands without current: after more than about a minute take it out, gloves and goggles on, dip it in 5 to 10 % sulphuric acid, and mark the piece.',
    priority: 'high',
  },
  held: {
    title: 'Held at the keep-alive current',
    checkFirst: 'Find the cause, then press start at the bath to go on. The deposit is kept alive but hardly grows.',
    priority: 'high',
  },
  'held-for-long': {
    title: 'Held for two hours, and nobody came',
    checkFirst: conditionAdvice[Condition.longestHold],
    priority: 'high',
  },
  'controller-silent': {
    title: 'The controller is not heard',
    checkFirst:
      "Check Wi-Fi, this computer's network, then the controller's power. It goes on protecting the bath by itself, but nobody watches. If its power failed, the contactor is open and the part stands without current.",
    priority: 'high',
  },
  'rotation-stalled': {
    title: 'Rotation stopped',
    checkFirst:
      'Switch the motor off before hands go into the tank: it starts again by itself up to three times. Then look at coupling, motor supply, and whether the part touches an anode or a lead. After two minutes the current goes down to 40 % by itself; a supply set by hand stays where it is.',
    priority: 'high',
  },
  'rotation-given-up': {
    title: 'Rotation given up: the motor is off',
    checkFirst: conditionAdvice[Condition.rotationGivenUp],
    priority: 'high',
  },
  'current-off-permitted': {
    title: 'Current is not what it should be',
    checkFirst: conditionAdvice[Condition.currentOutsideBand],
    priority: 'high',
  },
  'contact-weak': {
    title: 'The contact to the part is weak',
    checkFirst: conditionAdvice[Condition.contactWeakInStart],
    priority: 'high',
  },
  'bath-will-overheat': {
    title: 'The bath will be too warm within the hour',
    checkFirst: conditionAdvice[Condition.bathWillOverheat],
    priority: 'high',
  },
  'clip-hot': {
    title: 'A clip or the contactor is hot',
    checkFirst: conditionAdvice[Condition.clipHot],
    priority: 'high',
  },
  'command-refused': {
    title: 'The controller refused a message: somebody may be forging commands',
    checkFirst:
      'Look who is on your network, unless you yourself just pressed hold or stop. Then pair the controller again at the bath, which gives it a new secret. The run was not touched.',
    priority: 'high',
  },
  'bath-temperature-out-of-band': {
    title: 'Bath temperature out of its band',
    checkFirst:
      'Check the bath with a second thermometer, gloves on: it is acid. Too warm: ease the current, open the window, look for a heater that sticks. Too cold: warm the room; bright copper turns dull and burns early.',
    priority: 'medium',
  },
  'sensor-fault': {
    title: 'The temperature probe cannot be believed',
    checkFirst:
      "Check the probe's plug and cable, and the bath with a second thermometer, gloves on. If it stays, the controller holds the run: after ten minutes without a good reading, or six hours without a moving one.",
    priority: 'medium',
  },
  'anode-passivating': {
    title: 'The anodes are passivating',
    checkFirst: conditionAdvice[Condition.anodePassivating],
    priority: 'medium',
  },
  'rotation-slow': {
    title: 'The part turns too slowly',
    checkFirst: conditionAdvice[Condition.rotationSlow],
    priority: 'medium',
  },
  'agitation-stopped': {
    title: 'Agitation stopped',
    checkFirst: conditionAdvice[Condition.agitationStopped],
    priority: 'medium',
  },
  'filter-stopped': {
    title: 'The filter stopped',
    checkFirst: conditionAdvice[Condition.filterStopped],
    priority: 'medium',
  },
  'start-takes-long': {
    title: 'Strike and ramp take far longer than planned',
    checkFirst: conditionAdvice[Condition.longestPhase],
    priority: 'medium',
  },
  'not-acknowledged': {
    title: 'Nobody has acknowledged for ten minutes',
    checkFirst: conditionAdvice[Condition.notAcknowledged],
    priority: 'high',
  },
  'supply-fault': {
    title: 'The supply does not do what it is told',
    checkFirst: conditionAdvice[Condition.supplyFault],
    priority: 'high',
  },
  'memory-fault': {
    title: 'The memory of the run does not answer',
    checkFirst: conditionAdvice[Condition.memoryFault],
    priority: 'medium',
  },
  // Seen by the person who stands at the bath and wants to start: nobody else need be woken.
  'alert-latch-not-opening': {
    title: 'The alert latch did not open in its test',
    checkFirst: conditionAdvice[Condition.alertLatchNotOpening],
    priority: 'low',
  },
  'notification-failed': {
    title: 'A call did not get through',
    checkFirst:
      'Open Calls on the page, send a test call, and read what the receiver answered. It is tried again meanwhile.',
    priority: 'medium',
  },
  'message-refused': {
    title: 'A message was refused',
    checkFirst:
      'Look who is on your network, and after a re-flash pair the controller again. Somebody sent what no controller of yours sends: a wrong password, a foreign topic, or another version.',
    priority: 'low',
  },
  'current-drifting': {
    title: 'The current drifts away from its permitted value',
    checkFirst:
      'Compare the ammeter of the supply, and touch no joint while current flows. Then look at clips, cables and anodes; a supply at its voltage ceiling cannot hold the current.',
    priority: 'medium',
  },
  'cell-resistance-drifting': {
    title: 'The resistance of the cell drifts',
    checkFirst:
      'Look at clips, anodes and the liquid level, hands out of the bath. Rising: a clip, too little anode area, too little liquid, a bath that cools. Falling: a bath that warms, or something that comes near an anode.',
    priority: 'medium',
  },
  'temperature-drifting': {
    title: 'The bath temperature drifts towards its limit',
    checkFirst:
      'Check the bath with a second thermometer, gloves on: it is acid. Warming: ease the current from the page and cool the room. Cooling: look at the heater and its plug.',
    priority: 'medium',
  },
  'rotation-drifting': {
    title: 'The rotation drifts',
    checkFirst: 'Switch the motor off before hands go into the tank. Then look at coupling, bearing and motor supply.',
    priority: 'medium',
  },
  'supply-drifting': {
    title: 'The supply no longer follows its set-point as before',
    checkFirst:
      'Compare the ammeter of the supply. Then look at its remote input and its wires, and whether its fan turns.',
    priority: 'medium',
  },
  'liquid-evaporating': {
    title: 'The liquid evaporates',
    checkFirst:
      'Look at the level mark. Top up with deionised water, slowly, with the part and the anodes covered as before.',
    priority: 'low',
  },
  'broker-lost': {
    title: 'The broker is lost: no controller can be heard',
    checkFirst: 'Restart the dashboard: it holds the broker. The controllers go on by themselves meanwhile.',
    priority: 'high',
  },
  'disk-nearly-full': {
    title: 'The disk is nearly full',
    checkFirst: 'Free space on the disk that holds the data folder. When it is full nothing is stored any more.',
    priority: 'medium',
  },
  'clock-wrong': {
    title: 'The clock of this computer is wrong',
    checkFirst:
      'Set the clock of this computer, or let the network set it. Until then times in the journal cannot be trusted.',
    priority: 'medium',
  },
  'watch-stood-still': {
    title: 'The watch stood still: nobody watched meanwhile',
    checkFirst:
      'Look at the bath. Then keep this computer from sleeping while a run is live, and plug it in; the leave-alone check says how.',
    priority: 'high',
  },
  'store-not-writable': {
    title: 'The store cannot be written',
    checkFirst:
      'Look whether the disk is full, was mounted read-only, or the data folder belongs to another user. The controllers keep their records meanwhile.',
    priority: 'high',
  },
};

/** What the controller says of a condition, with its numbers where it has any (a and b of the event: value x 1000 and limit x 1000; 0 and 0: none). */
export function conditionWords(code: number, a = 0, b = 0): string {
  const value = a / 1000;
  const limit = b / 1000;
  const hasNumbers = a !== 0 || b !== 0;
  /** The fact, and its numbers when there are any. */
  const told = (fact: string, unit: string, digits = 1): string =>
    hasNumbers ? `${fact}: ${value.toFixed(digits)} ${unit}, limit ${limit.toFixed(digits)} ${unit}` : fact;
  switch (code) {
    case Condition.currentHigh:
      return told('current over 120 % of permitted', 'A', 2);
    case Condition.currentVeryHigh:
      return told('current over 150 % of permitted', 'A', 2);
    case Condition.alertLatch:
      return 'the shunt monitor opened the alert latch: over-current';
    case Condition.monitorSilent:
      return 'the shunt monitor does not answer';
    case Condition.monitorChanged:
      return 'the shunt monitor lost its settings (a brown-out?)';
    case Condition.monitorClipped:
      return 'the shunt monitor is at full scale: more current than it can measure';
    case Condition.bathWarm:
      return told('bath warm', '°C');
    case Condition.bathHot:
      return told('bath too warm to plate', '°C');
    case Condition.bathOverheated:
      return told("bath above this rig's limit", '°C');
    case Condition.probeFault:
      return 'no good temperature reading';
    case Condition.probeFaultLong:
      return 'no good temperature reading for ten minutes';
    case Condition.rotationStopped:
      return hasNumbers
        ? `no rotation pulse for ${value.toFixed(0)} s, limit ${limit.toFixed(0)} s`
        : 'no rotation pulse came';
    case Condition.rotationStoppedLong:
      return 'rotation stopped for over two minutes: current reduced';
    case Condition.emergencyStop:
      return 'the emergency stop was pressed';
    case Condition.contactorDropped:
      return 'the contactor opened without being told';
    case Condition.restartedInRun:
      return 'the controller restarted in mid-run';
    case Condition.chargeReached:
      return 'the charge was reached';
    case Condition.longestRun:
      return 'the longest run time was reached';
    case Condition.contactorContradicts:
      return "the contactor's feedback contradicts what was asked of it";
    case Condition.currentOutsideBand:
      return told('current off what is permitted', 'A', 2);
    case Condition.anodePassivating:
      return told('anodes passivating, the voltage climbs to its ceiling', 'V', 2);
    case Condition.contactLost:
      return told('contact lost, voltage at its ceiling and too little current', 'A', 2);
    case Condition.shortCircuit:
      return told('a short: the part or a lead touches an anode', 'V', 2);
    case Condition.reverseCurrent:
      return told('the current flowed the wrong way', 'A', 2);
    case Condition.senseImplausible:
      return told('voltage and current cannot both be right: look at the sense leads', 'V', 2);
    case Condition.bathWillOverheat:
      return told('at this rate the bath passes its limit within the hour', '°C');
    case Condition.bathCold:
      return told('bath cold', '°C');
    case Condition.probeStuck:
      return 'the temperature reading has not moved for two hours';
    case Condition.probeStuckLong:
      return 'the temperature reading has not moved for six hours';
    case Condition.clipHot:
      return told('a clip or the contactor is hot', '°C', 0);
    case Condition.clipOverheated:
      return told('a clip or the contactor is too hot', '°C', 0);
    case Condition.rotationGivenUp:
      return 'three announced restarts brought no pulse: the motor stays off';
    case Condition.rotationSlow:
      return told('the part turns too slowly', 'pulses a minute');
    case Condition.leak:
      return 'liquid was seen in the tray';
    case Condition.smoke:
      return 'smoke was seen';
    case Condition.agitationStopped:
      return 'the agitation stopped';
    case Condition.filterStopped:
      return 'the filter stopped';
    case Condition.liquidLow:
      return 'the liquid is low';
    case Condition.currentDoesNotFall:
      return told('current still flows after the contactor was told to open', 'A', 2);
    case Condition.longestPhase:
      return 'strike and ramp take far longer than planned';
    case Condition.longestDerate:
      return 'the current was reduced for an hour';
    case Condition.longestHold:
      return 'the run has been held for two hours';
    case Condition.notAcknowledged:
      return 'nobody has acknowledged for ten minutes';
    case Condition.dashboardUnseen:
      return 'the controller saw no sign of life of the dashboard';
    case Condition.supplyFault:
      return 'the supply does not answer, refuses, or reads back something else';
    case Condition.voltageHigh:
      return told("terminals above this rig's highest voltage", 'V', 2);
    case Condition.memoryFault:
      return 'the memory of the run does not answer';
    case Condition.rampWaiting:
      return 'the ramp waits for the resistance to fall';
    case Condition.contactWeakInStart:
      return 'the resistance climbs in the start: the ramp backs off';
    case Condition.noCurrentAtStart:
      return 'no current flowed at the low first set-point';
    case Condition.polarityReversed:
      return 'the first current flowed the wrong way: part and anodes are exchanged';
    case Condition.alertLatchNotOpening:
      return 'the alert latch did not open in its test';
    default:
      return `condition ${String(code)}, which this dashboard has no words for`;
  }
}

/** Alarms that a condition of the controller raises by itself. What holds or trips and is not here raises its alarm with the phase; a note raises none. */
const alarmByCondition: Readonly<Partial<Record<Condition, AlarmName>>> = {
  [Condition.bathWarm]: 'bath-temperature-out-of-band',
  [Condition.bathCold]: 'bath-temperature-out-of-band',
  [Condition.bathWillOverheat]: 'bath-will-overheat',
  [Condition.probeFault]: 'sensor-fault',
  [Condition.probeStuck]: 'sensor-fault',
  [Condition.rotationStopped]: 'rotation-stalled',
  [Condition.rotationStoppedLong]: 'rotation-stalled',
  [Condition.rotationSlow]: 'rotation-slow',
  [Condition.rotationGivenUp]: 'rotation-given-up',
  [Condition.contactorContradicts]: 'contactor-contradicts',
  [Condition.currentDoesNotFall]: 'current-does-not-fall',
  [Condition.currentOutsideBand]: 'current-off-permitted',
  [Condition.anodePassivating]: 'anode-passivating',
  [Condition.contactWeakInStart]: 'contact-weak',
  [Condition.clipHot]: 'clip-hot',
  [Condition.agitationStopped]: 'agitation-stopped',
  [Condition.filterStopped]: 'filter-stopped',
  [Condition.longestPhase]: 'start-takes-long',
  [Condition.longestHold]: 'held-for-long',
  [Condition.notAcknowledged]: 'not-acknowledged',
  [Condition.supplyFault]: 'supply-fault',
  [Condition.memoryFault]: 'memory-fault',
  [Condition.alertLatchNotOpening]: 'alert-latch-not-opening',
};

/** Which alarm a condition of the controller raises by itself; holds and trips raise theirs with the phase. */
export function alarmOfCondition(code: number): AlarmName | undefined {
  return alarmByCondition[code as Condition];
}

/** What to check first when the cause of a hold or a trip is known: the cause's own advice before the general one. Without a cause: the general one. */
export function checkFirstOf(name: AlarmName, causeCode?: number): string {
  const { checkFirst } = alarmTexts[name];
  if (causeCode === undefined) return checkFirst;
  if (severalConditions.has(name)) return adviceFor(causeCode);
  return alarmOfCondition(causeCode) === name ? checkFirst : `${adviceFor(causeCode)} ${checkFirst}`;
}

/** One alarm for conditions that want different hands: a bath too warm or too cold, a probe that is silent or stuck. */
const severalConditions: ReadonlySet<AlarmName> = new Set<AlarmName>(['bath-temperature-out-of-band', 'sensor-fault']);
