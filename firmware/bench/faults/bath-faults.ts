/*
 * Faults of the bath itself: temperature, shaft, contacts, anodes, liquid.
 */
import { Pin } from '../board/pins.js';
import type { FaultKind } from './fault-kind.js';

export const bathFaults = {
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
  'rotation-dragging': {
    scope: 'bath',
    what: 'the shaft turns at six tenths of its speed',
    begin: (bath) => {
      bath.parts.rotation.setSpeedFraction(0.6, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.rotation.setSpeedFraction(1, bath.nightSeconds);
    },
  },
  'contact-loss': {
    scope: 'bath',
    what: 'a clip lets go: two ohms in series with the part',
    begin: (bath) => {
      bath.parts.tank.setFault('looseContactOhms', 2, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('looseContactOhms', 0, bath.nightSeconds);
    },
  },
  'contact-weak': {
    scope: 'bath',
    what: 'a clip loosens: a fifth of an ohm in series with the part',
    begin: (bath) => {
      bath.parts.tank.setFault('looseContactOhms', 0.2, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('looseContactOhms', 0, bath.nightSeconds);
    },
  },
  'anode-touches': {
    scope: 'bath',
    what: 'an anode touches the part',
    begin: (bath) => {
      bath.parts.tank.setFault('shortOhms', 0.001, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('shortOhms', Infinity, bath.nightSeconds);
    },
  },
  'anode-passivates': {
    scope: 'bath',
    what: 'the anodes grow a film as long as their current density is high',
    begin: (bath) => {
      bath.parts.tank.setFault('anodeIsPassivating', true, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('anodeIsPassivating', false, bath.nightSeconds);
    },
  },
  'leads-reversed': {
    scope: 'bath',
    what: 'the leads are changed over at the supply',
    begin: (bath) => {
      bath.parts.tank.setFault('leadsAreReversed', true, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('leadsAreReversed', false, bath.nightSeconds);
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
  'bath-chilled': {
    scope: 'bath',
    what: 'a chiller sticks on: below 18 Celsius within the hour',
    begin: (bath) => {
      bath.parts.tank.setFault('chillerIsStuck', true, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.tank.setFault('chillerIsStuck', false, bath.nightSeconds);
    },
  },
  leak: {
    scope: 'bath',
    what: 'the leak contact opens',
    begin: (bath) => {
      bath.parts.pins.drive(Pin.leak, false, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.pins.drive(Pin.leak, true, bath.nightSeconds);
    },
  },
  smoke: {
    scope: 'bath',
    what: 'the smoke contact opens',
    begin: (bath) => {
      bath.parts.pins.drive(Pin.smoke, false, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.pins.drive(Pin.smoke, true, bath.nightSeconds);
    },
  },
  'agitation-stops': {
    scope: 'bath',
    what: 'the contact of the agitation opens',
    begin: (bath) => {
      bath.parts.pins.drive(Pin.agitation, false, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.pins.drive(Pin.agitation, true, bath.nightSeconds);
    },
  },
  'filter-stops': {
    scope: 'bath',
    what: 'the contact of the filter opens',
    begin: (bath) => {
      bath.parts.pins.drive(Pin.filter, false, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.pins.drive(Pin.filter, true, bath.nightSeconds);
    },
  },
  'level-low': {
    scope: 'bath',
    what: 'the contact of the liquid level opens',
    begin: (bath) => {
      bath.parts.pins.drive(Pin.level, false, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.pins.drive(Pin.level, true, bath.nightSeconds);
    },
  },
  'clip-hot': {
    scope: 'bath',
    what: 'the clips are at 38 degrees above the bath',
    begin: (bath) => {
      bath.parts.clipRiseCelsius.value = 38;
    },
    end: (bath) => {
      bath.parts.clipRiseCelsius.value = 6;
    },
  },
  'clip-overheats': {
    scope: 'bath',
    what: 'the clips are at 55 degrees above the bath',
    begin: (bath) => {
      bath.parts.clipRiseCelsius.value = 55;
    },
    end: (bath) => {
      bath.parts.clipRiseCelsius.value = 6;
    },
  },
} as const satisfies Record<string, FaultKind>;
