/*
 * Timers, time and pins as the interpreter's global functions have them. Handed to the bundle at each boot.
 */
import type { PinEvent } from '../../board/pins.js';
import type { Machine } from './machine.js';

/** So that a loop that waits for getTime() ends. */
const GET_TIME_SECONDS = 0.00002;

/** `setInterval` to `getTime`. */
export function timerApi(machine: Machine): Record<string, unknown> {
  const { callbacks } = machine;
  const add =
    (isRepeated: boolean) =>
    (run: unknown, milliseconds: number, ...values: unknown[]) => {
      if (typeof run !== 'function') machine.fail('Function or String not supplied!');
      const callback = run as (...all: unknown[]) => void;
      return callbacks.add(values.length === 0 ? callback : () => callback(...values), milliseconds, isRepeated);
    };
  const clear =
    (name: string) =>
    (...ids: unknown[]) => {
      // Without an argument the interpreter clears every timer of the program: never meant, so it fails here.
      if (ids.length === 0 || ids[0] === undefined) machine.fail(`${name}(undefined) not allowed`);
      callbacks.remove(Number(ids[0]));
    };
  return {
    setInterval: add(true),
    setTimeout: add(false),
    clearInterval: clear('clearInterval'),
    clearTimeout: clear('clearTimeout'),
    changeInterval: (id: number, milliseconds: number) => {
      if (!callbacks.change(id, milliseconds)) machine.fail('Unknown Interval');
    },
    getTime: () => {
      machine.spend(GET_TIME_SECONDS);
      return machine.uptimeSeconds;
    },
  };
}

/** `digitalWrite`, `setWatch` and the board's pins. */
export function pinApi(machine: Machine): Record<string, unknown> {
  const { pins } = machine.host;
  const write = (pin: unknown, value: unknown) => {
    machine.standOrFall();
    pins.write(String(pin), Boolean(value), machine.host.nowSeconds());
  };
  const read = (pin: unknown) => {
    machine.standOrFall();
    // Of several, as bits: the last is the lowest.
    const all: unknown[] = Array.isArray(pin) ? pin : [pin];
    return all.reduce<number>((bits, one) => bits * 2 + (pins.read(String(one)) ? 1 : 0), 0);
  };
  const api: Record<string, unknown> = {
    digitalWrite: write,
    digitalRead: read,
    pinMode: () => undefined,
    setWatch: (onEdge: unknown, pin: unknown, options: { repeat?: boolean; edge?: string; debounce?: number } = {}) => {
      if (typeof onEdge !== 'function') machine.fail('Function or String not supplied!');
      const edge = options.edge ?? 'both';
      if (edge !== 'rising' && edge !== 'falling' && edge !== 'both')
        machine.fail("'edge' in setWatch should be rising, falling or both");
      return pins.setWatch(
        String(pin),
        edge,
        options.repeat === true,
        (options.debounce ?? 0) / 1000,
        onEdge as (event: PinEvent) => void,
      );
    },
    clearWatch: (...ids: unknown[]) => {
      if (ids.length > 0 && ids[0] === undefined)
        machine.fail('clearWatch(undefined) not allowed. Use clearWatch() instead');
      if (!pins.clearWatch(ids[0] as number | undefined)) machine.fail('Unknown Watch');
    },
  };
  for (const [ownName, name] of Object.entries(machine.host.board.pins)) {
    api[ownName] = {
      read: () => pins.read(name),
      write: (value: unknown) => {
        write(name, value);
      },
      set: () => {
        write(name, true);
      },
      reset: () => {
        write(name, false);
      },
      mode: () => undefined,
      toString: () => name,
    };
  }
  return api;
}
