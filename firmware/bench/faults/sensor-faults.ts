/*
 * Faults of what measures: the shunt monitor with its leads, and the temperature probes.
 */
import type { FaultKind } from './fault-kind.js';

export const sensorFaults = {
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
  'sense-lead-loose': {
    scope: 'bath',
    what: 'the lead from the monitor to the supply hangs loose: it sees no voltage',
    begin: (bath) => {
      bath.parts.monitor.busLeadIsLoose = true;
    },
    end: (bath) => {
      bath.parts.monitor.busLeadIsLoose = false;
    },
  },
  'shunt-lead-loose': {
    scope: 'bath',
    what: 'a sense lead of the shunt hangs loose: the monitor sees no current',
    begin: (bath) => {
      bath.parts.monitor.shuntLeadIsLoose = true;
    },
    end: (bath) => {
      bath.parts.monitor.shuntLeadIsLoose = false;
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
  'probe-stuck': {
    scope: 'bath',
    what: 'the temperature probe stays at its last value',
    begin: (bath) => {
      bath.parts.probe.trouble = 'stuck';
    },
    end: (bath) => {
      bath.parts.probe.trouble = 'none';
    },
  },
  'clip-probe-absent': {
    scope: 'bath',
    what: 'a probe at a clip is gone from the wire',
    begin: (bath) => {
      for (const probe of bath.parts.clips.slice(0, 1)) probe.trouble = 'absent';
    },
    end: (bath) => {
      for (const probe of bath.parts.clips.slice(0, 1)) probe.trouble = 'none';
    },
  },
} as const satisfies Record<string, FaultKind>;
