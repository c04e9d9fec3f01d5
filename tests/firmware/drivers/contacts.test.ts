/* Buttons, contacts and the rotation sensor on pins and watches that only the test moves, with edges that come late as after a stall. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { Inputs } from '@bathkeeper/shared-core/control';
import { bathContacts, rotationSensor } from '../../../firmware/src/drivers/contacts.js';

class TestPin {
  isHigh = true;
  pinMode = '';
  edges: { call: (edge: unknown) => void; options: { edge?: string; debounce?: number } }[] = [];
  read = (): boolean => this.isHigh;
  write = (isHigh: boolean): void => {
    this.isHigh = isHigh;
  };
  mode = (mode: string): void => {
    this.pinMode = mode;
  };
  /** An edge at its own time, in seconds, that the program comes to now. */
  edge(state: boolean, time: number): void {
    this.isHigh = state;
    for (const { call, options } of this.edges) {
      const edge = options.edge ?? 'both';
      if (edge === 'both' || (edge === 'rising') === state) call({ state, time, lastTime: 0, pin: this });
    }
  }
}
type BoardPin = Parameters<typeof rotationSensor>[0];
const asPin = (pin: TestPin) => pin as unknown as BoardPin;

beforeEach(() => {
  vi.stubGlobal('digitalRead', (pins: TestPin[]) => pins.reduce((bits, pin) => bits * 2 + Number(pin.isHigh), 0));
  vi.stubGlobal('setWatch', (call: () => void, pin: TestPin, options: object) => pin.edges.push({ call, options }));
});

describe('the rotation sensor', () => {
  const turned = () => {
    const pin = new TestPin();
    pin.isHigh = false;
    return { pin, rotation: rotationSensor(asPin(pin), 100) };
  };

  it('is watched without the interpreter’s debounce, which loses pulses that wait for a blocked program', () => {
    const { pin } = turned();
    expect(pin.edges[0]!.options.debounce ?? 0).toBe(0);
  });

  it('counts pulses and measures their period by the edges’ own times, however late the program comes to them', () => {
    const { pin, rotation } = turned();
    for (let turn = 1; turn <= 3; turn++) {
      pin.edge(true, 100 + turn * 10);
      pin.edge(false, 100.2 + turn * 10);
    }
    expect(rotation).toEqual({ pulses: 3, periodMs: 10000, seenMs: 30000 });
  });

  it('counts a contact that bounces for 20 ms once, when it closes as well as when it opens', () => {
    const { pin, rotation } = turned();
    for (let turn = 1; turn <= 5; turn++) {
      for (const bounceAt of [0, 0.3]) {
        for (let bounce = 0; bounce < 5; bounce++) {
          pin.edge(bounceAt === 0, 100 + turn * 10 + bounceAt + bounce * 0.004);
          pin.edge(bounceAt !== 0, 100 + turn * 10 + bounceAt + bounce * 0.004 + 0.002);
        }
        pin.edge(bounceAt === 0, 100 + turn * 10 + bounceAt + 0.02);
      }
    }
    expect(rotation.pulses).toBe(5);
    expect(rotation.periodMs).toBe(10000);
  });
});

describe('contacts and buttons', () => {
  const rig = () => {
    const names = ['start', 'stop', 'reset', 'latch', 'feedback', 'emergencyStop'] as const;
    const watcherNames = ['leak', 'smoke', 'agitation', 'filter', 'level'] as const;
    const pins = Object.fromEntries([...names, ...watcherNames].map((name) => [name, new TestPin()])) as Record<
      (typeof names)[number] | (typeof watcherNames)[number],
      TestPin
    >;
    const time = { ms: 1000 };
    const given = pins as unknown as Parameters<typeof bathContacts>[0] & Parameters<typeof bathContacts>[1];
    const rotation = { pulses: 7, periodMs: 0, seenMs: 0 };
    const contacts = bathContacts(given, given, rotation, () => time.ms);
    const inputs = {} as Inputs;
    return {
      pins,
      time,
      inputs,
      contacts,
      read: (afterMs = 200) => {
        time.ms += afterMs;
        contacts.read(inputs);
        return inputs;
      },
    };
  };
  const quiet = { startPressed: false, stopPressed: false, resetPressed: false, startHeld: false, resetHeld: false };

  it.each(['start', 'reset'] as const)(
    '%s counts once when pressed, and once more when held for two seconds',
    (name) => {
      const { pins, read } = rig();
      expect(read()).toMatchObject(quiet);
      pins[name].edge(false, 0);
      expect(read()).toMatchObject({ ...quiet, [`${name}Pressed`]: true });
      let heldAt = 0;
      for (let step = 2; step <= 30; step++) {
        const inputs = read();
        expect(inputs).toMatchObject({ startPressed: false, resetPressed: false });
        if (inputs[`${name}Held`]) {
          expect(heldAt).toBe(0);
          heldAt = step * 200;
        }
      }
      expect(heldAt).toBe(2000);
    },
  );

  it('a press that was let go in time is not held, nor are two short ones', () => {
    const { pins, read } = rig();
    for (let press = 0; press < 2; press++) {
      pins.start.edge(false, 0);
      for (let step = 0; step < 8; step++) expect(read().startHeld).toBe(false);
      pins.start.edge(true, 0);
      read();
    }
    for (let step = 0; step < 20; step++) expect(read()).toMatchObject(quiet);
  });

  it('a stop counts as long as it is held, whether or not its edge was seen', () => {
    const { pins, read } = rig();
    pins.stop.isHigh = false;
    expect(read().stopPressed).toBe(true);
    expect(read().stopPressed).toBe(true);
    pins.stop.isHigh = true;
    expect(read().stopPressed).toBe(false);
  });

  it('a broken wire of the chain reads as the careful side', () => {
    const { pins, read } = rig();
    for (const name of ['latch', 'feedback', 'emergencyStop'] as const) {
      expect(pins[name].pinMode).toBe('input_pulldown');
      pins[name].isHigh = false;
    }
    expect(read()).toMatchObject({ alertLatchOpen: true, contactorClosed: false, emergencyStopPressed: true });
  });

  it.each([
    ['leak', 'leakSeen'],
    ['smoke', 'smokeSeen'],
    ['agitation', 'agitationStopped'],
    ['filter', 'filterStopped'],
    ['level', 'liquidLow'],
  ] as const)('an open contact of %s is seen where it is fitted, and only there', (name, seen) => {
    const { pins, contacts, inputs } = rig();
    const none = { leak: false, smoke: false, agitation: false, filter: false, level: false };
    contacts.readWatchers(inputs, { ...none, [name]: true });
    expect(inputs[seen]).toBe(false);
    pins[name].isHigh = false;
    contacts.readWatchers(inputs, { ...none, [name]: true });
    expect(inputs[seen]).toBe(true);
    contacts.readWatchers(inputs, none);
    expect(inputs[seen]).toBe(false);
  });
});
