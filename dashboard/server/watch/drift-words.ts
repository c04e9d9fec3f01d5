/*
 * A drift in words: what changed, since when, how much, when it reaches its limit, the likely causes in order, and what to check first. Called by
 * the drift watch when it raises an alarm; written for three in the morning. It judges nothing.
 */
import type { DriftCause, DriftFinding, DriftName } from '@bathkeeper/shared-core/watch';

interface CauseWords {
  /** After "Likely:". */
  readonly cause: string;
  /** A whole sentence. */
  readonly check: string;
}

export const causeWords: Readonly<Record<DriftCause, CauseWords>> = {
  'supply-at-ceiling': {
    cause: 'the supply is at its voltage ceiling',
    check:
      'Look at the supply: is its voltage at the ceiling that was set? Then the cell asks for more than it may give.',
  },
  'supply-output': {
    cause: 'the supply itself gives something else',
    check: "Compare the supply's own ammeter with this page, and listen whether its fan turns.",
  },
  'set-point-way': {
    cause: 'the way of the set-point to the supply',
    check: 'Look at the remote input of the supply and its wires.',
  },
  'hand-set': {
    cause: 'the knob was touched, or creeps',
    check: 'Set the supply by hand again to what the page asks.',
  },
  'shunt-or-sense': {
    cause: 'the shunt or its sense leads',
    check:
      'Compare a clamp meter with this page. Touch the two thin leads at the shunt only with the supply off at its mains.',
  },
  'clip-or-contact': {
    cause: 'a clip or another contact lets go',
    check:
      'Hold the back of the hand near the clips and cable lugs, and touch none: the hot one is it. Clean and tighten it with the supply off at its mains.',
  },
  'slip-ring': {
    cause: 'the slip ring or its brushes',
    check: 'Look at the slip ring, hands off while it turns: brushes, dirt, spray of acid.',
  },
  'anode-film-or-worn': {
    cause: 'the anodes are filmed or worn',
    check:
      'Look at the anodes, hands out of the acid: a grey or bright skin, thin ones, full bags. Ease the current, or hang in more anode area, gloves on.',
  },
  'anode-moved-nearer': {
    cause: 'an anode or its bag has come nearer to the part',
    check: 'Look between part and anodes before they touch: switch the motor off before hands go into the tank.',
  },
  'level-low': { cause: 'the liquid is low', check: 'Look at the level mark.' },
  'water-evaporated': {
    cause: 'water has evaporated, and what is left conducts better',
    check: 'Look at the level mark. Top up with deionised water, slowly.',
  },
  'bath-colder': { cause: 'the bath cools', check: 'Look at the bath temperature, and at the heater with its plug.' },
  'bath-warmer': { cause: 'the bath warms', check: 'Look at the bath temperature with a second thermometer.' },
  'heater-sticks': {
    cause: 'a heater that sticks on',
    check: 'Unplug the heater, with dry hands. Then check with a second thermometer.',
  },
  'room-or-current-heat': {
    cause: 'the current and the room warm the bath',
    check: 'Cool the room, or ease the current from the page. Check with a second thermometer.',
  },
  'heater-off': { cause: 'the heater is off', check: 'Look at the heater, its plug and its thermostat.' },
  'coupling-slips': {
    cause: 'the coupling slips',
    check: 'Switch the motor off before hands go into the tank. Then look at coupling and set screws.',
  },
  'motor-supply': {
    cause: 'the supply of the motor',
    check: 'Measure the voltage of the motor, hands off its shaft. Then look whether its housing is hot.',
  },
  'part-brushes': {
    cause: 'the part or a lead brushes against something, or it has grown heavy',
    check:
      'Look whether the part touches an anode, a bag or a lead, and switch the motor off before hands go into the tank.',
  },
};

const figure: Readonly<Record<DriftName, (value: number) => string>> = {
  'current-drifting': (amps) => `${amps.toFixed(2)} A`,
  'cell-resistance-drifting': (ohms) => `${(ohms * 1000).toFixed(2)} mΩ`,
  'liquid-evaporating': (ohms) => `${(ohms * 1000).toFixed(2)} mΩ`,
  'temperature-drifting': (celsius) => `${celsius.toFixed(1)} °C`,
  'rotation-drifting': (seconds) => `${seconds.toFixed(2)} s a turn`,
  'supply-drifting': (volts) => `${volts.toFixed(2)} V`,
};

/** What it is about, with its verb in front of the figures. */
const subject: Readonly<Record<DriftName, Readonly<Record<DriftFinding['direction'], string>>>> = {
  'current-drifting': { up: 'The current rises', down: 'The current falls' },
  'cell-resistance-drifting': { up: 'The resistance of the cell rises', down: 'The resistance of the cell falls' },
  'liquid-evaporating': { up: 'The resistance of the cell rises', down: 'The resistance of the cell falls slowly' },
  'temperature-drifting': { up: 'The bath warms', down: 'The bath cools' },
  'rotation-drifting': { up: 'The part turns more slowly', down: 'The part turns faster' },
  'supply-drifting': { up: 'The supply needs more voltage', down: 'The supply needs less voltage' },
};

/** What the reader must not take for more than it is. */
const reservation: Readonly<Partial<Record<DriftName, string>>> = {
  'liquid-evaporating':
    'Resistance cannot tell water that went from acid that came, and less than about a twentieth of the water not at all: the level mark decides.',
};

export interface DriftWords {
  /** Added to the alarm's title. */
  readonly because: string;
  readonly detail: string;
  readonly checkFirst: string;
}

/**
 * Example: `The bath warms: 28.2 °C, 27.0 °C before, since about 03:12. It will reach 30.0 °C about 03:40. Likely: a heater that sticks on; or the
 * current and the room warm the bath.`
 */
export function driftWords(finding: DriftFinding, timeOfDay: (atMs: number) => string): DriftWords {
  const { name, direction, now, before, sinceMs, limit, causes } = finding;
  const told = figure[name];
  const percent = name === 'temperature-drifting' ? '' : ` (${signedPercent(now / before - 1)})`;
  const change = `${subject[name][direction]}: ${told(now)}, ${told(before)} before${percent}, since about ${timeOfDay(sinceMs)}.`;
  const isReached = limit !== null && (direction === 'up' ? now >= limit.value : now <= limit.value);
  const reach =
    limit === null
      ? undefined
      : isReached
        ? `It is at ${told(limit.value)}.`
        : `It will reach ${told(limit.value)} about ${timeOfDay(limit.atMs)}.`;
  const likely = `Likely: ${causes.map((cause) => causeWords[cause].cause).join('; or ')}.`;
  return {
    because:
      limit === null || isReached
        ? `${told(now)}, ${told(before)} before`
        : `${told(limit.value)} about ${timeOfDay(limit.atMs)}`,
    detail: [change, reach, likely, reservation[name]].filter((part) => part !== undefined).join(' '),
    checkFirst: causes
      .slice(0, 2)
      .map((cause) => causeWords[cause].check)
      .join(' Then: '),
  };
}

function signedPercent(fraction: number): string {
  const text = Math.abs(fraction * 100).toFixed(1);
  return `${fraction < 0 ? '−' : '+'}${text} %`;
}

/** By this computer's own clock, as the rest of the page has it. */
export function hoursAndMinutes(atMs: number): string {
  const at = new Date(atMs);
  return `${String(at.getHours()).padStart(2, '0')}:${String(at.getMinutes()).padStart(2, '0')}`;
}
