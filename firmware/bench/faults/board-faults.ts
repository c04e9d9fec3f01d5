/*
 * Faults of the board: power, memory, and callbacks that the interpreter takes away (a stack overflow or want of memory in one), after
 * which its outputs stay as they are.
 */
import { Pin } from '../board/pins.js';
import type { FaultKind } from './fault-kind.js';

export const boardFaults = {
  'power-cut': {
    scope: 'bath',
    what: 'the controller and its chips lose their power',
    usualSeconds: 0,
    begin: (bath, seconds) => {
      bath.powerCut(seconds);
    },
  },
  'power-cut-in-memory': {
    scope: 'bath',
    what: 'the power fails between two bytes on their way into the memory of the run',
    usualSeconds: 0,
    begin: (bath) => {
      bath.cutPowerAfterMemoryBytes(bath.faultNoise.uint32() % 700);
    },
  },
  'memory-silent': {
    scope: 'bath',
    what: 'the memory of the run does not answer',
    begin: (bath) => {
      bath.parts.memory.isAnswering = false;
    },
    end: (bath) => {
      bath.parts.memory.isAnswering = true;
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
  'beat-lost': {
    scope: 'bath',
    what: 'the interpreter takes the interval of the keeper away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === 'interval 500 ms');
    },
  },
  'intervals-lost': {
    scope: 'bath',
    what: 'the interpreter runs out of memory and takes every interval away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name.startsWith('interval'));
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
  'start-watch-lost': {
    scope: 'bath',
    what: 'the interpreter takes the watch of the start button away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === `watch ${Pin.startButton}`);
    },
  },
  'stop-watch-lost': {
    scope: 'bath',
    what: 'the interpreter takes the watch of the stop button away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === `watch ${Pin.stopButton}`);
    },
  },
  'reset-watch-lost': {
    scope: 'bath',
    what: 'the interpreter takes the watch of the reset button away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === `watch ${Pin.resetButton}`);
    },
  },
  'socket-data-lost': {
    scope: 'bath',
    what: 'the interpreter takes the handler of arriving bytes away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === 'socket data');
    },
  },
  'socket-close-lost': {
    scope: 'bath',
    what: 'the interpreter takes the handler of closed connections away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === 'socket close');
    },
  },
  'datagram-lost': {
    scope: 'bath',
    what: 'the interpreter takes the handler of signs of life away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === 'datagram message');
    },
  },
  'serial-data-lost': {
    scope: 'bath',
    what: 'the interpreter takes the handler of the serial line away',
    usualSeconds: 0,
    begin: (bath) => {
      bath.takeAwayCallbacks((name) => name === 'serial data');
    },
  },
  'console-byte': {
    scope: 'bath',
    what: 'a byte 0x03 comes on the console',
    usualSeconds: 0,
    begin: (bath) => {
      bath.interruptByConsole();
    },
  },
} as const satisfies Record<string, FaultKind>;
