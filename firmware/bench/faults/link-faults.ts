/*
 * Faults on the way to the dashboard, and of the dashboard itself.
 */
import type { FaultKind } from './fault-kind.js';

export const linkFaults = {
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
