/*
 * What in the bath is wrong, judged from the bath itself, and what the controller must tell of it, by when. A witness sees each second; once
 * what it sees has lasted for the condition's on-delay and some slack, the condition is owed. The delays are those of the table of
 * conditions; the slack is one look a second and the sensor's own time. Read by the judge of a night.
 */
import { Pin } from '@bathkeeper/firmware/bench';
import { Condition, Permissive, Phase } from '@bathkeeper/shared-core/control';
import { isHigh, type Look } from './look.js';

export interface Witness {
  readonly name: string;
  /** Any of these tells it. */
  readonly conditions: readonly Condition[];
  readonly afterSeconds: number;
  readonly isSo: (look: Look) => boolean;
}

const RIG_VOLTS = (look: Look): number => look.night.settings.rig.terminalVoltsMax;
const bathCelsius = (look: Look): number => look.bath.parts.tank.bathCelsius;
const [WARN, HOLD] = [28, 32];
const COLD = 18;
/** Above noise and the steps of the probe. */
const CELSIUS_SURELY = 0.3;
const WATCHERS: readonly (readonly [string, (typeof Pin)[keyof typeof Pin], Condition, number])[] = [
  ['leak', Pin.leak, Condition.leak, 2],
  ['smoke', Pin.smoke, Condition.smoke, 2],
  ['agitation', Pin.agitation, Condition.agitationStopped, 2],
  ['filter', Pin.filter, Condition.filterStopped, 2],
  ['level', Pin.level, Condition.liquidLow, 10],
];
/** What tells of a current that is not as asked, whichever is met first. */
const OFF = [
  ...[Condition.currentOutsideBand, Condition.currentHigh, Condition.currentVeryHigh, Condition.alertLatch],
  ...[Condition.contactLost, Condition.shortCircuit, Condition.anodePassivating, Condition.senseImplausible],
  ...[Condition.reverseCurrent, Condition.voltageHigh],
];
const MONITOR = [Condition.monitorSilent, Condition.monitorChanged, Condition.monitorClipped];

/** Pulses of a turning part come so far apart; Infinity: it stands. */
function pulseSeconds(look: Look): number {
  const { rotation } = look.bath.parts;
  return rotation.speedFraction > 0 ? 60 / rotation.pulsesPerMinute / rotation.speedFraction : Infinity;
}
/** Two pulses missed and a fifth of a period, at least 20 s. */
function dueSeconds(look: Look): number {
  return Math.max(20, 132 / look.night.rotationPulsesPerMinute);
}
const turns = (look: Look): boolean => look.isLive && look.night.rotationPulsesPerMinute > 0;
const clipCelsius = (look: Look): number =>
  look.bath.parts.clips.length > 0 && look.probeIsGood && look.bath.parts.clips.every((clip) => clip.trouble === 'none')
    ? bathCelsius(look) + look.bath.parts.clipRiseCelsius.value
    : -1000;
/** Measures electricity, live, and the leads are the right way round. */
const seesCell = (look: Look): boolean => look.isLive && look.monitorIsGood;

export const witnesses: readonly Witness[] = [
  ...(
    [
      ['the bath is warm', WARN, [Condition.bathWarm, Condition.bathHot, Condition.bathOverheated]],
      ['the bath is hot', HOLD, [Condition.bathHot, Condition.bathOverheated]],
      ['the bath is overheated', 40, [Condition.bathOverheated]],
    ] as const
  ).map(([name, celsius, conditions]) => ({
    ...{ name, conditions, afterSeconds: 50 },
    isSo: (look: Look) => look.isLive && look.probeIsGood && bathCelsius(look) > celsius + CELSIUS_SURELY,
  })),
  {
    name: 'the bath is cold',
    conditions: [Condition.bathCold],
    afterSeconds: 330,
    isSo: (look) => look.isLive && look.probeIsGood && bathCelsius(look) < COLD - CELSIUS_SURELY,
  },
  ...(
    [
      ['the probe gives no temperature', 40, [Condition.probeFault, Condition.probeFaultLong]],
      ['the probe has given none for long', 620, [Condition.probeFaultLong]],
    ] as const
  ).map(([name, afterSeconds, conditions]) => ({
    ...{ name, afterSeconds, conditions },
    isSo: (look: Look) => look.isLive && !look.probeIsGood && look.bath.parts.probe.trouble !== 'stuck',
  })),
  {
    name: 'the probe is stuck',
    conditions: [Condition.probeStuck, Condition.probeStuckLong],
    afterSeconds: 7260,
    isSo: (look) => look.isLive && look.bath.parts.probe.trouble === 'stuck' && look.bath.parts.tank.currentAmps > 0.3,
  },
  {
    name: 'the part stands',
    conditions: [Condition.rotationStopped, Condition.rotationGivenUp],
    afterSeconds: 6,
    isSo: (look) => turns(look) && look.pulseAgeSeconds > dueSeconds(look),
  },
  {
    name: 'the part turns slowly',
    conditions: [Condition.rotationSlow, Condition.rotationStopped],
    afterSeconds: 120,
    isSo: (look) =>
      turns(look) &&
      pulseSeconds(look) < dueSeconds(look) &&
      pulseSeconds(look) > 96 / look.night.rotationPulsesPerMinute,
  },
  ...WATCHERS.map(([name, pin, condition, delay]) => ({
    name: `the contact of ${name} is open`,
    conditions: [condition],
    afterSeconds: delay + 4,
    isSo: (look: Look) => look.isLive && !isHigh(look, pin),
  })),
  ...(
    [
      ['a clip is hot', 60, [Condition.clipHot, Condition.clipOverheated]],
      ['a clip is overheated', 70, [Condition.clipOverheated]],
    ] as const
  ).map(([name, celsius, conditions]) => ({
    ...{ name, conditions, afterSeconds: 20 },
    isSo: (look: Look) => look.isLive && clipCelsius(look) > celsius + CELSIUS_SURELY,
  })),
  {
    name: 'a probe at a clip is gone',
    conditions: [Condition.clipHot],
    afterSeconds: 20,
    isSo: (look) => look.isLive && look.bath.parts.clips.some((clip) => clip.trouble === 'absent'),
  },
  {
    name: 'the monitor is silent or frozen',
    conditions: MONITOR,
    afterSeconds: 4,
    isSo: (look) => look.isLive && (!look.bath.parts.monitor.isAnswering || look.bath.parts.monitor.isFrozen),
  },
  {
    name: 'the set-point cannot be relied on',
    conditions: [Condition.supplyFault],
    afterSeconds: 12,
    isSo: (look) =>
      look.isLive &&
      ((look.night.supplyKind === 'analogue' && !look.bath.parts.converter.isAnswering) ||
        look.bath.parts.scpi?.isSilent === true ||
        (look.night.supplyKind === 'by-hand' && !look.bath.parts.display.isAnswering)),
  },
  {
    name: 'the memory does not answer',
    conditions: [Condition.memoryFault],
    afterSeconds: 36,
    isSo: (look) => look.isLive && look.night.memory === 'FRAM' && !look.bath.parts.memory.isAnswering,
  },
  {
    name: 'the dashboard is not seen',
    conditions: [Condition.dashboardUnseen],
    afterSeconds: 4,
    isSo: (look) => look.isLive && look.unseenSeconds > 902,
  },
  {
    name: 'the current flows the wrong way',
    conditions: [Condition.reverseCurrent, Condition.polarityReversed, ...OFF],
    afterSeconds: 3,
    isSo: (look) => seesCell(look) && look.bath.parts.tank.seenAmps < -0.7,
  },
  {
    name: 'an anode touches the part',
    conditions: [Condition.shortCircuit],
    afterSeconds: 3,
    isSo: (look) =>
      seesCell(look) &&
      look.bath.parts.tank.faults.shortOhms < 0.002 &&
      !look.bath.parts.tank.faults.leadsAreReversed &&
      look.bath.parts.tank.currentAmps > 0.22 * look.night.plateAmps,
  },
  {
    name: 'contact is lost',
    conditions: [Condition.contactLost, Condition.anodePassivating],
    afterSeconds: 7,
    isSo: (look) =>
      seesCell(look) &&
      look.plateSeconds > 8 &&
      look.askedSeconds > 8 &&
      (look.askedAmps ?? 0) > 0.9 * look.night.plateAmps &&
      look.bath.parts.tank.terminalVolts > 0.97 * RIG_VOLTS(look) &&
      look.bath.parts.tank.currentAmps < 0.44 * look.night.plateAmps,
  },
  {
    name: 'the anodes passivate',
    conditions: [Condition.anodePassivating, Condition.contactLost, Condition.currentOutsideBand],
    afterSeconds: 20,
    isSo: (look) =>
      seesCell(look) &&
      look.voltsFiveMinutesAgo > 0 &&
      look.bath.parts.tank.terminalVolts > 0.92 * RIG_VOLTS(look) &&
      look.bath.parts.tank.terminalVolts > 1.13 * look.voltsFiveMinutesAgo,
  },
  {
    name: 'the lead that senses the voltage is loose',
    conditions: [Condition.senseImplausible],
    afterSeconds: 3,
    isSo: (look) => {
      const { monitor, tank } = look.bath.parts;
      return (
        look.isLive &&
        monitor.busLeadIsLoose &&
        monitor.isAnswering &&
        !monitor.isFrozen &&
        !monitor.shuntLeadIsLoose &&
        look.live?.phase !== Phase.polarity &&
        tank.seenAmps > 0.7
      );
    },
  },
  {
    name: 'the lead that senses the current is loose',
    conditions: OFF,
    afterSeconds: 15,
    isSo: (look) => {
      const { monitor } = look.bath.parts;
      return look.plateSeconds > 15 && monitor.shuntLeadIsLoose && monitor.isAnswering && !monitor.isFrozen;
    },
  },
  {
    name: 'the terminals are above the rig’s highest voltage',
    conditions: [Condition.voltageHigh],
    afterSeconds: 4.5,
    isSo: (look) => seesCell(look) && look.bath.parts.tank.seenVolts > 1.03 * RIG_VOLTS(look),
  },
  {
    name: 'the current is not what plating asks',
    conditions: [...OFF, Condition.supplyFault],
    afterSeconds: 14,
    isSo: (look) => {
      const { plateAmps } = look.night;
      const offAmps = Math.abs(look.bath.parts.tank.seenAmps - plateAmps);
      return (
        seesCell(look) &&
        look.plateSeconds > 8 &&
        look.askedSeconds > 8 &&
        (look.askedAmps ?? 0) > 0.94 * plateAmps &&
        offAmps > Math.max(0.4, 0.075 * plateAmps)
      );
    },
  },
  {
    name: 'far more current flows than was asked',
    conditions: OFF,
    afterSeconds: 3,
    isSo: (look) =>
      seesCell(look) &&
      look.askedAmps !== undefined &&
      look.askedSeconds > 5 &&
      look.bath.parts.tank.seenAmps > 1.65 * look.askedAmps + 0.7,
  },
  {
    name: 'the contactor is closed though its coil has no current',
    conditions: [Condition.contactorContradicts, Condition.currentDoesNotFall],
    afterSeconds: 5,
    isSo: (look) => look.isWatched && !look.isFed && look.bath.parts.chain.feedbackIsClosed,
  },
  {
    name: 'the contactor’s auxiliary contact says open though the coil has current',
    conditions: [Condition.contactorDropped, Condition.contactorContradicts],
    afterSeconds: 2.5,
    isSo: (look) =>
      look.isLive &&
      !look.bath.parts.chain.feedbackIsClosed &&
      look.live !== undefined &&
      look.live.phase !== Phase.ready,
  },
  {
    name: 'the alert latch does not open in its test',
    conditions: [Condition.alertLatchNotOpening],
    afterSeconds: 9,
    isSo: (look) => {
      const { chain, tank } = look.bath.parts;
      return (
        look.isWatched &&
        look.monitorIsGood &&
        chain.isLatchStuck &&
        chain.isLatchClosed &&
        !chain.feedbackIsClosed &&
        tank.terminalVolts < 0.4 &&
        look.live?.phase === Phase.ready &&
        (look.live.permissivesMissing & (1 << (Permissive.alertLatchProven - 1))) !== 0
      );
    },
  },
];
