/*
 * Faults of what stands between the coil of the contactor and 24 V, of the contactor itself, and presses at the bath.
 */
import type { FaultKind } from './fault-kind.js';

export const chainFaults = {
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
  'reset-press': {
    scope: 'bath',
    what: 'somebody presses reset at the bath',
    usualSeconds: 0,
    begin: (bath) => {
      bath.press('reset');
    },
  },
  'start-press': {
    scope: 'bath',
    what: 'somebody presses start at the bath, whatever goes on',
    usualSeconds: 0,
    begin: (bath) => {
      bath.press('start');
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
  'contactor-welds': {
    scope: 'bath',
    what: 'the main contacts weld: what is closed stays closed, and the auxiliary contact tells it',
    begin: (bath) => {
      bath.parts.chain.setWelded(true, bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.chain.setWelded(false, bath.nightSeconds);
    },
  },
  'auxiliary-stuck-closed': {
    scope: 'bath',
    what: 'the auxiliary contact says closed, whatever the contactor does',
    begin: (bath) => {
      bath.parts.chain.setAuxiliary('stuck closed', bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.chain.setAuxiliary('follows', bath.nightSeconds);
    },
  },
  'auxiliary-stuck-open': {
    scope: 'bath',
    what: 'the auxiliary contact says open, whatever the contactor does',
    begin: (bath) => {
      bath.parts.chain.setAuxiliary('stuck open', bath.nightSeconds);
    },
    end: (bath) => {
      bath.parts.chain.setAuxiliary('follows', bath.nightSeconds);
    },
  },
  'latch-stuck': {
    scope: 'bath',
    what: 'the alert latch does not open any more',
    begin: (bath) => {
      bath.parts.chain.isLatchStuck = true;
    },
    end: (bath) => {
      bath.parts.chain.isLatchStuck = false;
    },
  },
} as const satisfies Record<string, FaultKind>;
