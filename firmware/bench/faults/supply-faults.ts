/*
 * Faults of the supply and of the way its set-point takes.
 */
import type { FaultKind } from './fault-kind.js';

export const supplyFaults = {
  overcurrent: {
    scope: 'bath',
    what: 'the supply delivers 1.6 times what it is asked',
    begin: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.factor = 1.6;
      }, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.factor = 1;
      }, bath.nightSeconds);
    },
  },
  'supply-drift': {
    scope: 'bath',
    what: 'the supply delivers 8 % too much',
    begin: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.factor = 1.08;
      }, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.factor = 1;
      }, bath.nightSeconds);
    },
  },
  'supply-weak': {
    scope: 'bath',
    what: 'the supply delivers three quarters of what it is asked',
    begin: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.factor = 0.75;
      }, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.factor = 1;
      }, bath.nightSeconds);
    },
  },
  'supply-deaf': {
    scope: 'bath',
    what: 'the supply stays at the set-point that it has',
    begin: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.ignoresSetPoint = true;
      }, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.ignoresSetPoint = false;
      }, bath.nightSeconds);
    },
  },
  'voltage-high': {
    scope: 'bath',
    what: 'the voltage limit of the supply is gone and a clip is bad',
    begin: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.ceilingFactor = 2;
      }, bath.nightSeconds);
      bath.parts.tank.setFault('looseContactOhms', 0.45, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.changeSupply((supply) => {
        supply.ceilingFactor = 1;
      }, bath.nightSeconds);
      bath.parts.tank.setFault('looseContactOhms', 0, bath.nightSeconds);
    },
  },
  'converter-silent': {
    scope: 'bath',
    what: 'the converter of the set-point does not answer, and keeps its output',
    begin: (bath) => {
      bath.parts.converter.isAnswering = false;
    },
    end: (bath) => {
      bath.parts.converter.isAnswering = true;
    },
  },
  'scpi-silent': {
    scope: 'bath',
    what: 'the supply on the serial line answers nothing and takes nothing',
    begin: (bath) => {
      if (bath.parts.scpi !== undefined) bath.parts.scpi.isSilent = true;
    },
    end: (bath) => {
      if (bath.parts.scpi !== undefined) bath.parts.scpi.isSilent = false;
    },
  },
  'scpi-restarts': {
    scope: 'bath',
    what: 'the supply on the serial line loses its mains for a moment',
    usualSeconds: 0,
    begin: (bath) => {
      bath.parts.scpi?.powerUp(bath.nightSeconds);
    },
  },
  'display-silent': {
    scope: 'bath',
    what: 'the display that says what to set does not answer',
    begin: (bath) => {
      bath.parts.display.isAnswering = false;
    },
    end: (bath) => {
      bath.parts.display.isAnswering = true;
    },
  },
  'person-away': {
    scope: 'bath',
    what: 'nobody sets what the display says',
    begin: (bath) => {
      if (bath.parts.person !== undefined) bath.parts.person.isThere = false;
    },
    end: (bath) => {
      if (bath.parts.person !== undefined) bath.parts.person.isThere = true;
    },
  },
} as const satisfies Record<string, FaultKind>;
