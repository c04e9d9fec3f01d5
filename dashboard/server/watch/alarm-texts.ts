/*
 * What an alarm says: title, what to do first, priority. One place for all of them, in the trade's words, written for
 * three in the morning: what to do begins with the act, its caution stands beside it, reasons come last. Called when an alarm is raised; what the
 * controller's conditions say is condition-words.ts's, which alarm they raise condition-alarms.ts's.
 */
import { Condition } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmView } from '@bathkeeper/shared-core/messages';
import { conditionAdvice } from '@bathkeeper/shared-core/watch';

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
  'run-forgotten': {
    title: 'The controller restarted and has forgotten its run',
    checkFirst:
      'Go to the bath: no current flows, and the copper dulls the longer it hangs there. Switch the supply off at its mains, take the part out with gloves and goggles on, and rinse it; the charge so far is in the journal of this run, ' +
      'and what is missing is a new recipe. Before it: why the power went, and why the memory did not answer.',
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
  'store-damaged': {
    title: 'The store of the dashboard is damaged',
    checkFirst:
      'Let a run that is under way come to its end, it is still watched. Then stop the dashboard and restore the newest backup (`npm run restore`), and look whether the disk fails.',
    priority: 'medium',
  },
};
