/*
 * Conditions and missing permissives: what each is called, where in the section through the tank it is marked,
 * and what a person does about it. One row for each code; a test checks that none is missing.
 * Used by the sentence, the tank and the list of what a start still wants; never decides anything.
 */
import { Condition, Permissive } from '@bathkeeper/shared-core/control';

/** The places in the section at which something can be marked, and what each is called. */
export const placeName = {
  'second-means': 'second means',
  terminals: 'supply',
  contactor: 'contactor',
  'emergency-stop': 'emergency stop',
  shunt: 'shunt',
  shaft: 'shaft',
  clip: 'clip',
  part: 'part',
  anodes: 'anodes',
  probe: 'probe',
  level: 'level',
  floor: 'tray',
  room: 'room',
  agitation: 'agitation',
  filter: 'filter',
  controller: 'controller',
} as const;
export type Place = keyof typeof placeName;

/** What the controller does about it, worst last. `note`: nothing is wrong. `danger`: current may flow that nobody can stop from here. */
export type Gravity = 'note' | 'warn' | 'derate' | 'hold' | 'trip' | 'danger';

export interface ConditionWords {
  /** A clause that can follow "because" or stand behind a colon. */
  readonly clause: string;
  /** At most two words, written at the mark. */
  readonly mark: string;
  readonly place: Place;
  readonly gravity: Gravity;
}

export const conditionWords: Readonly<Record<Condition, ConditionWords>> = {
  [Condition.currentHigh]: {
    clause: 'the current was over 120 % of what was permitted',
    mark: 'too high',
    place: 'shunt',
    gravity: 'hold',
  },
  [Condition.currentVeryHigh]: {
    clause: 'the current was over 150 % of what was permitted',
    mark: 'very high',
    place: 'shunt',
    gravity: 'trip',
  },
  [Condition.alertLatch]: {
    clause: 'the shunt monitor saw over-current and opened the alert latch',
    mark: 'over-current',
    place: 'shunt',
    gravity: 'trip',
  },
  [Condition.monitorSilent]: {
    clause: 'the shunt monitor is silent',
    mark: 'silent',
    place: 'shunt',
    gravity: 'trip',
  },
  [Condition.monitorChanged]: {
    clause: "the shunt monitor's own settings changed (brown-out?)",
    mark: 'changed',
    place: 'shunt',
    gravity: 'trip',
  },
  [Condition.monitorClipped]: {
    clause: 'the shunt monitor is at full scale',
    mark: 'full scale',
    place: 'shunt',
    gravity: 'trip',
  },
  [Condition.bathWarm]: { clause: 'the bath is warm', mark: 'warm', place: 'probe', gravity: 'warn' },
  [Condition.bathHot]: { clause: 'the bath is too warm to plate', mark: 'too warm', place: 'probe', gravity: 'hold' },
  [Condition.bathOverheated]: {
    clause: "the bath is above this rig's limit",
    mark: 'overheated',
    place: 'probe',
    gravity: 'trip',
  },
  [Condition.probeFault]: {
    clause: 'the temperature probe cannot be believed',
    mark: 'at fault',
    place: 'probe',
    gravity: 'warn',
  },
  [Condition.probeFaultLong]: {
    clause: 'the temperature probe has been at fault for ten minutes',
    mark: 'at fault',
    place: 'probe',
    gravity: 'hold',
  },
  [Condition.rotationStopped]: { clause: 'the rotation stopped', mark: 'stopped', place: 'shaft', gravity: 'warn' },
  [Condition.rotationStoppedLong]: {
    clause: 'the rotation has been stopped for over two minutes',
    mark: 'stopped',
    place: 'shaft',
    gravity: 'derate',
  },
  [Condition.emergencyStop]: {
    clause: 'the emergency stop was pressed',
    mark: 'pressed',
    place: 'emergency-stop',
    gravity: 'trip',
  },
  [Condition.contactorDropped]: {
    clause: 'the contactor opened without being told to',
    mark: 'dropped',
    place: 'contactor',
    gravity: 'trip',
  },
  [Condition.restartedInRun]: {
    clause: 'the controller restarted in the middle of the run',
    mark: 'interrupted',
    place: 'part',
    gravity: 'trip',
  },
  [Condition.chargeReached]: { clause: 'the charge is reached', mark: 'reached', place: 'part', gravity: 'note' },
  [Condition.longestRun]: {
    clause: 'the longest time allowed for this run is over',
    mark: 'time over',
    place: 'part',
    gravity: 'note',
  },
  [Condition.contactorContradicts]: {
    clause: "the contactor's feedback contradicts what was asked of it",
    mark: 'contradicts',
    place: 'contactor',
    gravity: 'danger',
  },
  [Condition.currentOutsideBand]: {
    clause: 'the current is off what is permitted',
    mark: 'off',
    place: 'shunt',
    gravity: 'warn',
  },
  [Condition.anodePassivating]: {
    clause: 'the anodes are passivating',
    mark: 'passivating',
    place: 'anodes',
    gravity: 'derate',
  },
  [Condition.contactLost]: {
    clause: 'the part lost its contact',
    mark: 'lost',
    place: 'clip',
    gravity: 'hold',
  },
  [Condition.shortCircuit]: {
    clause: 'the part or a lead touches an anode',
    mark: 'short',
    place: 'part',
    gravity: 'trip',
  },
  [Condition.reverseCurrent]: {
    clause: 'the current flowed the wrong way',
    mark: 'reversed',
    place: 'shunt',
    gravity: 'trip',
  },
  [Condition.senseImplausible]: {
    clause: 'voltage and current cannot both be right',
    mark: 'implausible',
    place: 'shunt',
    gravity: 'trip',
  },
  [Condition.bathWillOverheat]: {
    clause: 'the bath will be too warm within the hour',
    mark: 'warming fast',
    place: 'probe',
    gravity: 'warn',
  },
  [Condition.bathCold]: { clause: 'the bath is cold', mark: 'cold', place: 'probe', gravity: 'derate' },
  [Condition.probeStuck]: {
    clause: 'the temperature reading has not moved for two hours',
    mark: 'stuck',
    place: 'probe',
    gravity: 'warn',
  },
  [Condition.probeStuckLong]: {
    clause: 'the temperature reading has not moved for six hours',
    mark: 'stuck',
    place: 'probe',
    gravity: 'hold',
  },
  [Condition.clipHot]: { clause: 'a clip or the contactor is hot', mark: 'hot', place: 'clip', gravity: 'warn' },
  [Condition.clipOverheated]: {
    clause: 'a clip or the contactor is too hot',
    mark: 'too hot',
    place: 'clip',
    gravity: 'trip',
  },
  [Condition.rotationGivenUp]: {
    clause: 'three restarts did not turn the part and the motor is off',
    mark: 'given up',
    place: 'shaft',
    gravity: 'warn',
  },
  [Condition.rotationSlow]: {
    clause: 'the part turns too slowly',
    mark: 'slow',
    place: 'shaft',
    gravity: 'warn',
  },
  [Condition.leak]: { clause: 'liquid was seen in the tray', mark: 'leak', place: 'floor', gravity: 'trip' },
  [Condition.smoke]: { clause: 'smoke was seen', mark: 'smoke', place: 'room', gravity: 'trip' },
  [Condition.agitationStopped]: {
    clause: 'the agitation stopped',
    mark: 'stopped',
    place: 'agitation',
    gravity: 'derate',
  },
  [Condition.filterStopped]: {
    clause: 'the filter stopped',
    mark: 'stopped',
    place: 'filter',
    gravity: 'derate',
  },
  [Condition.liquidLow]: { clause: 'the liquid is low', mark: 'low', place: 'level', gravity: 'hold' },
  [Condition.currentDoesNotFall]: {
    clause: 'current still flows though the contactor was told to open',
    mark: 'still flows',
    place: 'contactor',
    gravity: 'danger',
  },
  [Condition.longestPhase]: {
    clause: 'the start takes far longer than planned',
    mark: 'slow start',
    place: 'part',
    gravity: 'warn',
  },
  [Condition.longestDerate]: {
    clause: 'the current was reduced for an hour',
    mark: 'reduced',
    place: 'part',
    gravity: 'hold',
  },
  [Condition.longestHold]: {
    clause: 'the run has been held for two hours',
    mark: 'held long',
    place: 'part',
    gravity: 'warn',
  },
  [Condition.notAcknowledged]: {
    clause: 'nobody has acknowledged for ten minutes',
    mark: 'unanswered',
    place: 'controller',
    gravity: 'warn',
  },
  [Condition.dashboardUnseen]: {
    clause: 'the controller has not seen the dashboard for a while',
    mark: 'alone',
    place: 'controller',
    gravity: 'note',
  },
  [Condition.supplyFault]: {
    clause: 'the supply does not do what it is told',
    mark: 'disobeys',
    place: 'terminals',
    gravity: 'warn',
  },
  [Condition.voltageHigh]: {
    clause: "the terminals are above this rig's highest voltage",
    mark: 'too high',
    place: 'terminals',
    gravity: 'trip',
  },
  [Condition.memoryFault]: {
    clause: "the controller's memory of the run does not answer",
    mark: 'memory',
    place: 'controller',
    gravity: 'warn',
  },
  [Condition.rampWaiting]: {
    clause: 'the ramp waits for the copper to close',
    mark: 'waits',
    place: 'clip',
    gravity: 'note',
  },
  [Condition.contactWeakInStart]: {
    clause: 'the contact is weak and the ramp backs off',
    mark: 'weak',
    place: 'clip',
    gravity: 'warn',
  },
  [Condition.noCurrentAtStart]: {
    clause: 'no current flowed at the low first set-point',
    mark: 'no current',
    place: 'shunt',
    gravity: 'trip',
  },
  [Condition.polarityReversed]: {
    clause: 'the first current flowed the wrong way: part and anodes are exchanged',
    mark: 'reversed',
    place: 'terminals',
    gravity: 'trip',
  },
  [Condition.alertLatchNotOpening]: {
    clause: 'the alert latch did not open in its test',
    mark: 'latch stuck',
    place: 'shunt',
    gravity: 'warn',
  },
};

export interface PermissiveWords {
  /** What is missing, a clause. */
  readonly missing: string;
  /** What to do at the bath, a sentence. */
  readonly remedy: string;
  /** null: not a thing at the tank. */
  readonly place: Place | null;
}

export const permissiveWords: Readonly<Record<Permissive, PermissiveWords>> = {
  [Permissive.settingsValid]: {
    missing: 'rig limits and calibration are not valid',
    remedy: 'Write the settings to the controller at the bath, over USB.',
    place: 'controller',
  },
  [Permissive.recipeLoaded]: {
    missing: 'no recipe is loaded',
    remedy: 'Fill in the recipe below and send it.',
    place: null,
  },
  [Permissive.monitorGood]: {
    missing: 'the shunt monitor gives no good reading',
    remedy: "Check the sense wires at the shunt's own screws and the monitor's supply.",
    place: 'shunt',
  },
  [Permissive.probeGood]: {
    missing: 'the temperature probe gives no good reading',
    remedy: 'Check the plug of the probe and its pull-up resistor.',
    place: 'probe',
  },
  [Permissive.bathWithinStartBand]: {
    missing: 'the bath is too cold or too warm to start',
    remedy: 'Bring the bath into its start band first; cold copper burns, a warm bath spends its brightener.',
    place: 'probe',
  },
  [Permissive.rotationSeen]: {
    missing: 'no rotation was seen',
    remedy: 'Check that the shaft turns and that the magnet passes the sensor.',
    place: 'shaft',
  },
  [Permissive.emergencyStopReleased]: {
    missing: 'the emergency stop is pressed',
    remedy: 'Look why it was pressed, then turn it to release.',
    place: 'emergency-stop',
  },
  [Permissive.alertLatchClosed]: {
    missing: 'the alert latch is open',
    remedy: 'Reset the latch with its own button at the bath.',
    place: 'shunt',
  },
  [Permissive.contactorOpen]: {
    missing: 'the contactor is closed though nothing runs',
    remedy: 'Switch the supply off at the mains and look for a welded contact before anything else.',
    place: 'contactor',
  },
  [Permissive.terminalsBelowHalfVolt]: {
    missing: 'the supply stands above 0.5 V with no load',
    remedy: 'Turn the set-point to zero and let the supply discharge: it would dump its charge into the paint.',
    place: 'terminals',
  },
  [Permissive.alertLatchProven]: {
    missing: 'the alert latch is not yet proven',
    remedy:
      'Press the latch’s own reset button: its test opens it within five seconds. Then press that button once more.',
    place: 'shunt',
  },
  [Permissive.supplyAtZero]: {
    missing: 'the supply is not known to stand at zero',
    remedy: 'Turn its current to zero; if it is driven from here, look whether it is on and in remote mode.',
    place: 'terminals',
  },
  [Permissive.watchersGood]: {
    missing: 'a fitted watcher is not good: leak, smoke, liquid level or a clip',
    remedy: 'Look which one is ringed in the section or named above, and put that right first.',
    place: 'controller',
  },
  [Permissive.memoryGood]: {
    missing: 'the memory of the run does not answer',
    remedy: 'Look at the memory chip and its four wires: without it a power cut would lose the account of the run.',
    place: 'controller',
  },
};

const weight: Readonly<Record<Gravity, number>> = { note: 0, warn: 1, derate: 2, hold: 3, trip: 4, danger: 5 };

/** True when `a` is graver than `b`. */
export function isGraver(a: Gravity, b: Gravity): boolean {
  return weight[a] > weight[b];
}

/** The words for a code that this page may be too old to know: never silent about it. */
export function wordsForCondition(code: number): ConditionWords {
  return (
    (conditionWords as Record<number, ConditionWords | undefined>)[code] ?? {
      clause: `condition ${code}, which this page has no words for, is active`,
      mark: `condition ${code}`,
      place: 'controller',
      gravity: 'warn',
    }
  );
}

export function wordsForPermissive(code: number): PermissiveWords {
  return (
    (permissiveWords as Record<number, PermissiveWords | undefined>)[code] ?? {
      missing: `permissive ${code}, which this page has no words for, is missing`,
      remedy: 'Reload this page; if it stays, update the dashboard.',
      place: 'controller',
    }
  );
}

/** The gravest of the active conditions, or null when none is more than a note. The first of equals. */
export function gravestCondition(codes: readonly number[]): ConditionWords | null {
  let gravest: ConditionWords | null = null;
  for (const code of codes) {
    const words = wordsForCondition(code);
    if (words.gravity !== 'note' && (gravest === null || isGraver(words.gravity, gravest.gravity))) gravest = words;
  }
  return gravest;
}
