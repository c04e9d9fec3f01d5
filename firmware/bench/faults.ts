/*
 * The faults that can be scheduled by name: what each breaks and how it is put right. Read by the rehearsal's command
 * line, by the virtual bath and by tests. Those of scope `dashboard` are carried out by whoever runs the dashboard.
 */
import { Pin } from './board/pins.js';
import type { VirtualBath } from './virtual-bath.js';

export type FaultScope = 'bath' | 'dashboard';

export interface FaultKind {
  readonly scope: FaultScope;
  /** One line for the list of faults. */
  readonly what: string;
  /** How long it lasts when nothing is said; undefined: to the end. Infinity never; 0: it is over at once. */
  readonly usualSeconds?: number;
  readonly begin?: (bath: VirtualBath, seconds: number | undefined) => void;
  readonly end?: (bath: VirtualBath) => void;
}

export interface ScheduledFault {
  readonly name: FaultName;
  readonly scope: FaultScope;
  /** On the bath's clock, from when it was switched on. */
  readonly atSeconds: number;
  /** Undefined: the usual time of this fault. */
  readonly durationSeconds?: number;
}

const kinds = {
  'rotation-stall': {
    scope: 'bath',
    what: 'the shaft stands still, motor on or not',
    begin: (bath) => {
      bath.parts.rotation.setSpeedFraction(0, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.rotation.setSpeedFraction(1, bath.nightSeconds);
    },
  },
  'rotation-slow': {
    scope: 'bath',
    what: 'the shaft turns at three tenths of its speed',
    begin: (bath) => {
      bath.parts.rotation.setSpeedFraction(0.3, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.rotation.setSpeedFraction(1, bath.nightSeconds);
    },
  },
  overcurrent: {
    scope: 'bath',
    what: 'the supply delivers 1.6 times what it is asked',
    begin: (bath) => {
      bath.parts.tank.setFault('supplyFactor', 1.6, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('supplyFactor', 1, bath.nightSeconds);
    },
  },
  'supply-drift': {
    scope: 'bath',
    what: 'the supply delivers 8 % too much',
    begin: (bath) => {
      bath.parts.tank.setFault('supplyFactor', 1.08, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('supplyFactor', 1, bath.nightSeconds);
    },
  },
  'contact-loss': {
    scope: 'bath',
    what: 'a clip lets go: half an ohm in series with the part',
    begin: (bath) => {
      bath.parts.tank.setFault('looseContactOhms', 0.5, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('looseContactOhms', 0, bath.nightSeconds);
    },
  },
  'bath-heating': {
    scope: 'bath',
    what: 'a heater sticks on: past 33 Celsius within the hour',
    begin: (bath) => {
      bath.parts.tank.setFault('heaterIsStuck', true, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('heaterIsStuck', false, bath.nightSeconds);
    },
  },
  'monitor-silent': {
    scope: 'bath',
    what: 'the shunt monitor does not answer on the bus',
    begin: (bath) => {
      bath.parts.monitor.isAnswering = false;
    },
    end: (bath) => {
      bath.parts.monitor.isAnswering = true;
    },
  },
  'monitor-frozen': {
    scope: 'bath',
    what: 'the shunt monitor answers and converts no more',
    begin: (bath) => {
      bath.parts.monitor.setFrozen(true, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.monitor.setFrozen(false, bath.nightSeconds);
    },
  },
  'monitor-brown-out': {
    scope: 'bath',
    what: 'the shunt monitor falls back to its reset registers: no limit, no alert',
    usualSeconds: 0,
    begin: (bath) => {
      bath.parts.monitor.reset(bath.nightSeconds);
    },
  },
  'probe-absent': {
    scope: 'bath',
    what: 'the temperature probe is gone from its wire',
    begin: (bath) => {
      bath.parts.probe.trouble = 'absent';
    },
    end: (bath) => {
      bath.parts.probe.trouble = 'none';
    },
  },
  'probe-power-on-value': {
    scope: 'bath',
    what: 'the temperature probe says 85.0, its value before a conversion',
    begin: (bath) => {
      bath.parts.probe.trouble = 'power-on value';
    },
    end: (bath) => {
      bath.parts.probe.trouble = 'none';
    },
  },
  'probe-zero-frame': {
    scope: 'bath',
    what: 'the temperature probe sends nine zero bytes, whose check sum is right',
    begin: (bath) => {
      bath.parts.probe.trouble = 'zero frame';
    },
    end: (bath) => {
      bath.parts.probe.trouble = 'none';
    },
  },
  'probe-damaged-frame': {
    scope: 'bath',
    what: 'a bit of every temperature frame is wrong',
    begin: (bath) => {
      bath.parts.probe.trouble = 'damaged frame';
    },
    end: (bath) => {
      bath.parts.probe.trouble = 'none';
    },
  },
  'emergency-stop': {
    scope: 'bath',
    what: 'somebody presses the emergency stop; released at the end, if there is one',
    begin: (bath) => {
      bath.press('emergency-stop');
    },
    end: (bath) => {
      bath.press('emergency-release');
    },
  },
  'stop-press': {
    scope: 'bath',
    what: 'somebody presses stop at the bath',
    usualSeconds: 0,
    begin: (bath) => {
      bath.press('stop');
    },
  },
  'contactor-drop': {
    scope: 'bath',
    what: 'the 24 V dips: whatever holds itself lets go',
    usualSeconds: 0.2,
    begin: (bath) => {
      bath.parts.chain.setSupplyDipped(true, bath.nightSeconds, '24 V dipped');
    },
    end: (bath) => {
      bath.parts.chain.setSupplyDipped(false, bath.nightSeconds, '24 V came back');
    },
  },
  'power-cut': {
    scope: 'bath',
    what: 'the controller and its chips lose their power',
    usualSeconds: 0,
    begin: (bath, seconds) => {
      bath.powerCut(seconds);
    },
  },
  'control-loop-lost': {
    scope: 'bath',
    what: 'the interpreter takes the control interval away, outputs stay as they are',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === 'interval 200 ms');
    },
  },
  'rotation-watch-lost': {
    scope: 'bath',
    what: 'the interpreter takes the watch of the rotation sensor away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === `watch ${Pin.rotation}`);
    },
  },
  'network-loss': {
    scope: 'bath',
    what: 'every connection dies without a word, dialling fails at once, no sign of life arrives',
    usualSeconds: 600,
    begin: (bath) => {
      bath.setNetworkTrouble('lost');
    },
    end: (bath) => {
      bath.setNetworkTrouble('none');
    },
  },
  'host-vanish': {
    scope: 'bath',
    what: 'every connection dies, signs of life go on, and dialling blocks for 15 s without an answer',
    usualSeconds: 600,
    begin: (bath) => {
      bath.setNetworkTrouble('unanswered');
    },
    end: (bath) => {
      bath.setNetworkTrouble('none');
    },
  },
  'broker-restart': { scope: 'dashboard', what: 'the broker closes every connection and starts again' },
  'dashboard-kill': { scope: 'dashboard', what: 'the dashboard is killed and started again' },
} as const satisfies Record<string, FaultKind>;

export type FaultName = keyof typeof kinds;
export const faultKinds: Record<FaultName, FaultKind> = kinds;
export const faultNames = Object.keys(kinds) as readonly FaultName[];

export function isFaultName(name: string): name is FaultName {
  return Object.hasOwn(kinds, name);
}

const syntax = 'expected NAME@HH:MM[:SS] or NAME@90m, and +5m, +30s or +2h after it when it should end';

/**
 * One fault from a command line, or a message that says what is wrong. `rotation-stall@03:10+5m` begins at 11400 s
 * and lasts 300 s.
 */
export function parseFault(text: string): ScheduledFault | string {
  const [name = '', when, ...more] = text.trim().split('@');
  if (!isFaultName(name)) {
    const list = faultNames.map((known) => `  ${known.padEnd(22)}${faultKinds[known].what}`).join('\n');
    return `There is no fault called "${name}". These exist:\n${list}`;
  }
  if (when === undefined || more.length > 0) return `Fault "${text}": ${syntax}.`;
  const [start = '', duration, ...rest] = when.split('+');
  const atSeconds = clockSeconds(start) ?? spanSeconds(start);
  const durationSeconds = duration === undefined ? undefined : spanSeconds(duration);
  if (atSeconds === undefined || rest.length > 0 || (duration !== undefined && durationSeconds === undefined)) {
    return `Fault "${text}": ${syntax}, got "${when}".`;
  }
  const { scope } = faultKinds[name];
  return durationSeconds === undefined ? { name, scope, atSeconds } : { name, scope, atSeconds, durationSeconds };
}

/** Hours, minutes and perhaps seconds from the start of the night. */
function clockSeconds(text: string): number | undefined {
  const parts = /^(\d{1,3}):([0-5]\d)(?::([0-5]\d))?$/.exec(text);
  return parts === null ? undefined : Number(parts[1]) * 3600 + Number(parts[2]) * 60 + Number(parts[3] ?? 0);
}

function spanSeconds(text: string): number | undefined {
  const parts = /^(\d+(?:\.\d+)?)(s|m|h)$/.exec(text);
  return parts === null ? undefined : Number(parts[1]) * (parts[2] === 'h' ? 3600 : parts[2] === 'm' ? 60 : 1);
}
