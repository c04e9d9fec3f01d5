/*
 * What the controller says of a condition, as the rest of a sentence with its numbers. Called for the detail of an alarm, for why a run was held or
 * ended, and for the story of a rehearsal; the controller itself knows only numbers. It says nothing of what to do.
 */
import { Condition } from '@bathkeeper/shared-core/control';

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
