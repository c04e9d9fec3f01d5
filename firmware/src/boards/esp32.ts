/*
 * The reference board: an ESP32 running Espruino. The only file with pin numbers; fulfils ports.ts. Wiring: hardware-notes/wiring.md.
 * At boot every output is low before anything else happens: one-shot cleared, motor and buzzer off.
 */
import type { Inputs } from '@bathkeeper/shared-core/control';
import type { Board, Connection, ConnectionEvents } from '../ports.js';

const ROTATION = D27;
const ONE_SHOT_TRIGGER = D18;
/** Low: the one-shot is cleared and the contactor off. */
const ONE_SHOT_CLEAR = D19;
/** High: closed, good. */
const ALERT_LATCH = D23;
/** High: closed. */
const CONTACTOR_FEEDBACK = D32;
/** High: released. */
const EMERGENCY_STOP = D33;
const MOTOR = D25;
const BUZZER = D26;
/** Start, stop, reset: low while pressed. */
const BUTTONS = [D13, D16, D17];
const STOP = 1;

const DEBOUNCE_MS = 25;
/** Longer than the longest stall of a connect, and than the one-shot. */
const WATCHDOG_SECONDS = 30;
const NETWORK_RETRY_MS = 20000;

export function esp32Board(): Board {
  digitalWrite(ONE_SHOT_CLEAR, 0);
  digitalWrite(ONE_SHOT_TRIGGER, 0);
  digitalWrite(MOTOR, 0);
  digitalWrite(BUZZER, 0);
  E.enableWatchdog(WATCHDOG_SECONDS, false);
  pinMode(ALERT_LATCH, 'input_pulldown');
  pinMode(CONTACTOR_FEEDBACK, 'input_pulldown');
  pinMode(EMERGENCY_STOP, 'input_pulldown');
  I2C1.setup({ sda: D21, scl: D22, bitrate: 400000 });

  const bootedAt = getTime();
  let triggerLevel = 0;
  let pulses = 0;
  let pulseAtMs = -1e7;
  let pulsePeriodMs = 0;
  const pressed = [false, false, false];
  let wifi: WifiModule | undefined;
  let joinedMs = -NETWORK_RETRY_MS;
  let join: (() => void) | undefined;

  const uptimeMs = function (): number {
    return Math.round((getTime() - bootedAt) * 1000);
  };
  setWatch(
    function (): void {
      const nowMs = uptimeMs();
      if (pulses) pulsePeriodMs = nowMs - pulseAtMs;
      pulseAtMs = nowMs;
      pulses++;
    },
    ROTATION,
    { repeat: true, edge: 'rising', debounce: DEBOUNCE_MS },
  );
  const watchButton = function (index: number): void {
    const pin = BUTTONS[index]!;
    pinMode(pin, 'input_pullup');
    setWatch(
      function (): void {
        pressed[index] = true;
      },
      pin,
      { repeat: true, edge: 'falling', debounce: DEBOUNCE_MS },
    );
  };
  for (let i = 0; i < BUTTONS.length; i++) watchButton(i);

  /** True once for each press. */
  const takePress = function (index: number): boolean {
    const wasPressed = pressed[index]!;
    pressed[index] = false;
    return wasPressed;
  };

  return {
    twoWire: I2C1,
    oneWire: new OneWire(D4),
    uptimeMs: uptimeMs,
    randomBits: E.hwRand,
    readContacts: function (inputs: Inputs): void {
      inputs.alertLatchOpen = !digitalRead(ALERT_LATCH);
      inputs.contactorClosed = !!digitalRead(CONTACTOR_FEEDBACK);
      inputs.emergencyStopPressed = !digitalRead(EMERGENCY_STOP);
      inputs.startPressed = takePress(0);
      // A stop also counts as long as it is held: its watch may have been lost.
      inputs.stopPressed = takePress(STOP) || !digitalRead(BUTTONS[STOP]!);
      inputs.resetPressed = takePress(2);
      inputs.rotationPulses = pulses;
    },
    pulsePeriodMs: function (): number {
      return pulsePeriodMs;
    },
    pulseSeenMs: function (): number {
      return pulseAtMs;
    },
    enableContactor: function (isEnabled: boolean): void {
      digitalWrite(ONE_SHOT_CLEAR, isEnabled);
    },
    feedOneShot: function (): void {
      triggerLevel ^= 1;
      digitalWrite(ONE_SHOT_TRIGGER, triggerLevel);
    },
    turnMotor: function (isOn: boolean): void {
      digitalWrite(MOTOR, isOn);
    },
    soundBuzzer: function (isOn: boolean): void {
      digitalWrite(BUZZER, isOn);
    },
    feedWatchdog: function (): void {
      E.kickWatchdog();
    },
    settingsFile: function (): unknown {
      return require('Storage').readJSON('bathkeeper.json', true);
    },
    joinNetwork: function (ssid: string, password: string, port: number, heard: (text: string) => void): void {
      let socket: DatagramSocket | undefined;
      const listen = function (): void {
        if (socket) socket.close();
        socket = require('dgram').createSocket('udp4');
        socket.bind(port, function (bound: DatagramSocket): void {
          bound.on('message', heard);
        });
      };
      try {
        wifi = require('Wifi');
      } catch (_) {
        // A build whose network stands without joining one.
        listen();
        return;
      }
      join = function (): void {
        wifi!.connect(ssid, { password: password }, function (): void {
          // The outcome is read from getStatus: the interpreter gives up after two tries, and we do not.
        });
      };
      wifi.on('connected', listen);
      try {
        // Telnet and Bluetooth would let a stranger at the interpreter's console: no password stands before it.
        require('TelnetServer').setOptions({ mode: 'off' });
        if (typeof NRF !== 'undefined') NRF.sleep();
        wifi.stopAP();
      } catch (why) {
        print('Network not joined, a console may be open to it: ' + why);
        join = undefined;
      }
    },
    keepNetwork: function (nowMs: number): void {
      if (!join || nowMs - joinedMs < NETWORK_RETRY_MS) return;
      joinedMs = nowMs;
      if (wifi!.getStatus().station !== 'connected') join();
    },
    connect: function (address: string, port: number, events: ConnectionEvents): Connection {
      const socket = require('net').connect({ host: address, port: port }, events.opened);
      socket.on('data', events.received);
      socket.on('close', events.closed);
      // Always followed by close; without a listener it would be printed.
      socket.on('error', function (): void {
        // close says it.
      });
      return socket;
    },
  };
}
