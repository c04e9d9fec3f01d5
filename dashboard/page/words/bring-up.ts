/*
 * Bring-up in words: what to do at the bath, what to type over USB, what to beware of, and how the page knows that it was done.
 * Follows the commands of the controller's second program; used by the bring-up page only. Pure; it can start nothing.
 */
import { SupplyKind } from '@bathkeeper/shared-core/control';
import { type BringUpDone, BringUpStep, type ControllerView, type LiveView } from '@bathkeeper/shared-core/messages';
import type { UnitSystem } from '@bathkeeper/shared-core/trade';
import { ampsWords, celsiusWords, temperatureDifferenceWords, voltsWords } from './numbers.js';
import type { Reader } from './reader.js';
import { spanWords, timeWords } from './times.js';

export interface BringUpWords {
  readonly step: BringUpStep;
  readonly title: string;
  /** Before hands go near; empty where nothing moves, heats or carries current. */
  readonly caution: string;
  /** What to do at the bath, sentences. */
  readonly doIt: string;
  /** To be typed at the console, one a line, with example values. */
  readonly commands: readonly string[];
  /** What is seen when it is well. */
  readonly wellWhen: string;
  /** Whose result is in the settings, and so gone unless they are kept. */
  readonly isKept: boolean;
}

const CODES = 'Local codes and licensed practice come before anything written here.';

/** In the order of the console's own help; steps that do not fit this supply are left out. `controllerId` stands in the commands. */
export function bringUpWords(controllerId: string, supplyKind: SupplyKind | null): BringUpWords[] {
  const all: BringUpWords[] = [
    {
      step: BringUpStep.limitsSet,
      title: 'Name it, and set the limits of this rig',
      caution: '',
      doIt: 'Type the name under which this dashboard is to know it. The limits are the most that this rig may ever see: no recipe and no message can widen them. Take them from the weakest part: cable, fuse, contactor, tank. The console takes degrees Celsius always. Then what is printed on the shunt, and which watchers are fitted.',
      commands: [
        `controller('${controllerId}')`,
        'limits({ amps: 35, volts: 8, celsius: 40, hours: 14 })',
        'shunt(50, 75)',
        'fitted({ leak: 1, smoke: 1, level: 1 })',
        ...(supplyKind === SupplyKind.scpi ? ['serial(9600)'] : []),
      ],
      wellWhen: 'Each line is answered with what was set, and with what comes next.',
      isKept: true,
    },
    {
      step: BringUpStep.sensorsSeen,
      title: 'Is each sensor there?',
      caution: '',
      doIt: 'With more than one thermometer on the wire, hold one in your hand for a minute: the warmer one is it. Name the one in the bath, and those at clips and contactor.',
      commands: ['probes()', "probe('28…')", "clips(['28…'])", 'sensors()'],
      wellWhen: 'Every line says good. A line with ! says what to look at; mend it and ask again.',
      isKept: true,
    },
    {
      step: BringUpStep.motorTurned,
      title: 'Turn the motor',
      caution: 'Hands, sleeves and hair out of the tank. The buzzer sounds for five seconds, then the motor starts.',
      doIt: 'Watch the shaft. Stop at the bath ends it.',
      commands: ['motor(30)'],
      wellWhen: 'It turns the right way, and pulses are counted: six a minute or more.',
      isKept: false,
    },
    {
      step: BringUpStep.latchTested,
      title: 'Test the alert latch',
      caution: 'Supply off.',
      doIt: 'Close the latch with its own button. Then the shunt monitor is given a limit that no current can meet, and must open it without any program.',
      commands: ['latch()'],
      wellWhen: 'The latch opens within five seconds. Close it again with its button.',
      isKept: false,
    },
    {
      step: BringUpStep.contactorClicked,
      title: 'Click the contactor, without supply',
      caution:
        'Supply switched off at its mains, nothing in the tank, no tool on the bars. The contactor closes only while you hold start.',
      doIt: 'Type the command, hold start at the bath for a second or two, let go. Then once more, and press the emergency stop while you hold.',
      commands: ['contactor()'],
      wellWhen: 'It closes while you hold and opens when you let go. With the emergency stop it opens at once.',
      isKept: false,
    },
    {
      step: BringUpStep.secondMeansClicked,
      title: 'Click the second means',
      caution: `The supply may come on for three seconds: contactor open, hands off the bars. Work on the mains side belongs to a licensed electrician. ${CODES}`,
      doIt: 'Switch the supply on at its mains, its output at zero. The mains relay or the enable input closes for three seconds and opens again.',
      commands: ['secondMeans()'],
      wellWhen:
        'You hear it, and the supply comes on and goes off. If nothing happens it is not wired: do not run without it.',
      isKept: false,
    },
    {
      step: BringUpStep.currentCalibrated,
      title: 'Calibrate the current against a meter, at two points',
      caution: `Tens of amperes: no rings, no loose tools, a dummy load or a short between the bars that bears the current, nothing in the tank. Set the supply’s own limit by hand first. Joints get hot. ${CODES}`,
      doIt: 'Put a meter in series, or a clamp meter for direct current that was zeroed. Type current(), hold start, switch the output on after the click, read the meter after six seconds, switch off, let go. Type what the meter showed. Then the same with a second current, at least two and a half times the first, near that of your runs.',
      commands: ['current()', 'current(8.05)', 'current()', 'current(28.31)'],
      wellWhen: 'It answers with gain and offset, and that the current is calibrated.',
      isKept: true,
    },
    ...(supplyKind === SupplyKind.analogue || supplyKind === null
      ? [
          {
            step: BringUpStep.supplyCalibrated,
            title: 'Calibrate the set-point of the supply, at two points',
            caution:
              'As before: dummy load, nothing in the tank, the supply’s own limit set by hand as a second bound.',
            doIt: 'Remote input on, output on. Type a small code, hold start for six seconds, let go; then a larger code.',
            commands: ['supply(200)', 'supply(1200)'],
            wellWhen: 'It answers with codes for each ampere and with the full scale.',
            isKept: true,
          },
        ]
      : []),
    {
      step: BringUpStep.temperatureCalibrated,
      title: 'Calibrate the temperature against a thermometer, at one point',
      caution: 'Goggles and gloves at the bath.',
      doIt: 'Hang a trusted thermometer beside the probe, in the bath at its working temperature or in stirred water. Wait five minutes. Type what it shows, in degrees Celsius.',
      commands: ['temperature(24.3)'],
      wellWhen: 'The offset is below one degree Celsius. More than five is refused: a wrong probe or a wrong place.',
      isKept: true,
    },
    {
      step: BringUpStep.paired,
      title: 'Pair it with this dashboard',
      caution: '',
      doIt: 'Give it the wireless network and the address of this dashboard, in numbers. It then draws a secret and shows it this once: type it under Settings, Pair a controller.',
      commands: ["network('workshop', '…', '192.168.1.20')", 'pair()'],
      wellWhen: 'The settings page takes the secret. Who has it can stop a run, and never start one.',
      isKept: true,
    },
    {
      step: BringUpStep.settingsKept,
      title: 'Keep it all, and leave',
      caution: '',
      doIt: 'See that nothing is missing, write it to flash, and go back to the controller. What was done is told here only then.',
      commands: ['show()', 'keep()', 'leave()'],
      wellWhen: 'It says kept and complete. Within a minute it is heard here, and the ticks above appear.',
      isKept: false,
    },
  ];
  return all;
}

/** `unkept`: done, and the settings were not kept after it. */
export interface BringUpState {
  readonly state: 'done' | 'unkept' | 'now' | 'later';
  /** "Done 18:40: 9 pulses.", or empty. */
  readonly words: string;
}

/** What is known of each step, in the order of `steps`; the first that is not done is `now`. */
export function bringUpStates(
  steps: readonly BringUpWords[],
  controller: ControllerView | null,
  nowMs: number,
  { timeZone, units }: Reader = {},
): BringUpState[] {
  const told = controller?.told?.bringUp ?? [];
  const keptPlace = told.findIndex(({ step }) => step === BringUpStep.settingsKept);
  let isNowGiven = false;
  return steps.map(({ step, isKept }) => {
    const place = told.findIndex((one) => one.step === step);
    const done = told[place];
    if (done === undefined) {
      const isNow = !isNowGiven;
      isNowGiven = true;
      return { state: isNow ? 'now' : 'later', words: '' };
    }
    const words = `Done ${timeWords(done.atMs, nowMs, timeZone)}${doneWords(done, units)}.`;
    return isKept && place > keptPlace
      ? { state: 'unkept', words: `${words} The settings were not kept after it: type keep().` }
      : { state: 'done', words };
  });
}

function doneWords({ step, a }: BringUpDone, units: UnitSystem = 'metric'): string {
  switch (step) {
    case BringUpStep.sensorsSeen:
      return `: ${String(a)} are there`;
    case BringUpStep.motorTurned:
      return `: ${String(a)} ${a === 1 ? 'pulse' : 'pulses'}`;
    case BringUpStep.currentCalibrated:
      return `, up to ${ampsWords(a / 1000)}`;
    case BringUpStep.temperatureCalibrated:
      return `: offset ${temperatureDifferenceWords(a / 1000, units)}`;
    default:
      return '';
  }
}

/** What the running controller shows of a step now; empty: nothing of it can be seen from here. */
export function seenNow(step: BringUpStep, live: LiveView, units: UnitSystem = 'metric'): string {
  switch (step) {
    case BringUpStep.sensorsSeen:
      return `${ampsWords(live.cathodeCurrentAmps)} at the shunt, ${voltsWords(live.terminalVolts)} at the terminals, ${celsiusWords(live.bathTemperatureCelsius, units)} in the bath`;
    case BringUpStep.motorTurned:
      return live.secondsSinceRotationPulse === null
        ? 'no pulse since it was switched on'
        : `the last pulse was ${spanWords(live.secondsSinceRotationPulse)} ago`;
    case BringUpStep.contactorClicked:
      return `the contactor says ${live.isContactorClosed ? 'closed' : 'open'}`;
    case BringUpStep.currentCalibrated:
      return `${ampsWords(live.cathodeCurrentAmps)} at the shunt`;
    case BringUpStep.temperatureCalibrated:
      return `${celsiusWords(live.bathTemperatureCelsius, units)} in the bath`;
    default:
      return '';
  }
}
