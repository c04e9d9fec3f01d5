/*
 * Which alarm a condition of the controller raises, and what to check first once a condition is known as the cause. Called where the controller's
 * events and live messages become alarms; the texts themselves are alarm-texts.ts's.
 */
import { Condition } from '@bathkeeper/shared-core/control';
import type { AlarmName } from '@bathkeeper/shared-core/messages';
import { adviceFor } from '@bathkeeper/shared-core/watch';
import { alarmTexts } from './alarm-texts.js';

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
