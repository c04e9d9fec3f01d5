/*
 * What every board does with its contacts: buttons that count once when pressed and once more when held, the safety chain's
 * feedback, the watchers' contacts, and the rotation sensor. Called by the board files, which say the pins.
 */
import type { Inputs } from '@bathkeeper/shared-core/control';
import type { FittedContacts, Rotation } from '../ports.js';

const DEBOUNCE_MS = 25;
const HELD_MS = 2000;

/** Buttons are low while pressed; the rest are high while all is well, so that a broken wire is seen. */
export interface ContactPins {
  readonly start: Pin;
  readonly stop: Pin;
  readonly reset: Pin;
  readonly latch: Pin;
  readonly feedback: Pin;
  readonly emergencyStop: Pin;
}
/** High while all is well. */
export interface WatcherPins {
  readonly leak: Pin;
  readonly smoke: Pin;
  readonly agitation: Pin;
  readonly filter: Pin;
  readonly level: Pin;
}
export interface BathContacts {
  /** Of the same inputs each time: what has not changed is left as it stands there. */
  read(inputs: Inputs): void;
  readWatchers(inputs: Inputs, fitted: FittedContacts): void;
}

interface Button {
  readonly pin: Pin;
  isPressed: boolean;
  /** Uptime of the press that is not over yet, 0 when there is none or it was told as held. */
  downMs: number;
}

/**
 * Pulses of a magnet or a notch, counted by the edges' own times, which stay right while the program is held up: a rising edge counts
 * when the level had stood for 25 ms, so that a contact that bounces counts once, at either end of a pulse.
 */
function countEdge(rotation: Rotation, isRising: boolean, nowMs: number, stoodMs: number): void {
  if (isRising && stoodMs >= DEBOUNCE_MS) {
    if (rotation.pulses) rotation.periodMs = nowMs - rotation.seenMs;
    rotation.seenMs = nowMs;
    rotation.pulses++;
  }
}

/** Counts the pulses on a pin from now on. */
export function rotationSensor(pin: Pin, bootedAt: number): Rotation {
  const rotation: Rotation = { pulses: 0, periodMs: 0, seenMs: -1e7 };
  let edgeMs = -1e7;
  setWatch(
    function (edge: WatchEvent): void {
      const nowMs = Math.round((edge.time - bootedAt) * 1000);
      countEdge(rotation, edge.state, nowMs, nowMs - edgeMs);
      edgeMs = nowMs;
    },
    pin,
    { repeat: true, edge: 'both' },
  );
  return rotation;
}

/** True once, after the button was held down. */
function isHeld(button: Button, nowMs: number): boolean {
  const isDown = !button.pin.read();
  if (isDown && nowMs - button.downMs < HELD_MS) return false;
  button.downMs = 0;
  return isDown;
}

/** `levels`: of the safety chain's contacts and the stop button, bits as in `bathContacts`. */
function takeContacts(inputs: Inputs, levels: number, start: Button, stop: Button, reset: Button, nowMs: number): void {
  inputs.alertLatchOpen = !(levels & 8);
  inputs.contactorClosed = (levels & 4) > 0;
  inputs.emergencyStopPressed = !(levels & 2);
  inputs.startPressed = start.isPressed;
  // A stop also counts as long as it is held: its watch may have been lost.
  inputs.stopPressed = stop.isPressed || !(levels & 1);
  inputs.resetPressed = reset.isPressed;
  inputs.startHeld = start.downMs > 0 && isHeld(start, nowMs);
  inputs.resetHeld = reset.downMs > 0 && isHeld(reset, nowMs);
  start.isPressed = stop.isPressed = reset.isPressed = false;
}

function readWatchers(inputs: Inputs, watchers: WatcherPins, fitted: FittedContacts): void {
  inputs.leakSeen = fitted.leak && !watchers.leak.read();
  inputs.smokeSeen = fitted.smoke && !watchers.smoke.read();
  inputs.agitationStopped = fitted.agitation && !watchers.agitation.read();
  inputs.filterStopped = fitted.filter && !watchers.filter.read();
  inputs.liquidLow = fitted.level && !watchers.level.read();
}

/** Some of these pins have no pull-down of their own; the wiring has one. @onceAtBoot */
function pullDown(pins: ContactPins, watchers: WatcherPins): void {
  [
    pins.latch,
    pins.feedback,
    pins.emergencyStop,
    watchers.leak,
    watchers.smoke,
    watchers.agitation,
    watchers.filter,
    watchers.level,
  ].map(function (pin: Pin): void {
    pin.mode('input_pulldown');
  });
}

/** Sets the pins up. */
export function bathContacts(
  pins: ContactPins,
  watchers: WatcherPins,
  rotation: Rotation,
  uptimeMs: () => number,
): BathContacts {
  const buttonOn = function (pin: Pin): Button {
    const button: Button = { pin: pin, isPressed: false, downMs: 0 };
    pin.mode('input_pullup');
    setWatch(
      function (): void {
        button.isPressed = true;
        button.downMs = uptimeMs();
      },
      pin,
      { repeat: true, edge: 'falling', debounce: DEBOUNCE_MS },
    );
    return button;
  };
  /** Read at once: as bits, the last the lowest. */
  const levelPins = [pins.latch, pins.feedback, pins.emergencyStop, pins.stop];
  let levels = -1;
  /** A press is to be told, was told in the last reading, or may become one that is held. */
  let isPressing = true;
  const start = buttonOn(pins.start);
  const stop = buttonOn(pins.stop);
  const reset = buttonOn(pins.reset);
  pullDown(pins, watchers);

  return {
    read: function (inputs: Inputs): void {
      const levelsNow = digitalRead(levelPins);
      const wasPressing = isPressing;
      isPressing = stop.isPressed || start.downMs > 0 || reset.downMs > 0;
      // Nearly always nothing was touched, and what the inputs say stands.
      if (isPressing || wasPressing || levelsNow !== levels) {
        levels = levelsNow;
        takeContacts(inputs, levels, start, stop, reset, uptimeMs());
      }
      inputs.rotationPulses = rotation.pulses;
    },
    readWatchers: function (inputs: Inputs, fitted: FittedContacts): void {
      readWatchers(inputs, watchers, fitted);
    },
  };
}
