/*
 * The reference board: an ESP32 running Espruino. The only file with pin numbers; fulfils ports.ts. Wiring: hardware-notes/wiring.md.
 * At boot every output is low before anything else happens: one-shot cleared, motor and buzzer off.
 */
import type { Inputs } from '@bathkeeper/shared-core/control';
import type { Board, Connection, ConnectionEvents, Rotation } from '../ports.js';

const DEBOUNCE_MS = 25;
/** Longer than the longest stall of a connect, and than the one-shot. */
const WATCHDOG_SECONDS = 30;
const NETWORK_RETRY_MS = 20000;
/** Start, stop, reset, low while pressed, by their place in `pressed`. */
const START = 0;
const STOP = 1;
const RESET = 2;

export function esp32Board(): Board {
  [D19, D18, D25, D26].map(function (output: Pin): void {
    output.write(false);
  });
  // Alert latch, contactor feedback, emergency stop: a broken wire reads low, the careful way.
  [D23, D32, D33].map(function (input: Pin): void {
    input.mode('input_pulldown');
  });
  E.enableWatchdog(WATCHDOG_SECONDS, false);
  I2C1.setup({ sda: D21, scl: D22, bitrate: 400000 });

  const bootedAt = getTime();
  const rotation: Rotation = { pulses: 0, periodMs: 0, seenMs: -1e7 };
  const pressed = [false, false, false];

  const uptimeMs = function (): number {
    return Math.round((getTime() - bootedAt) * 1000);
  };
  const watch = function (pin: Pin, edge: 'rising' | 'falling', seen: () => void): void {
    setWatch(seen, pin, { repeat: true, edge: edge, debounce: DEBOUNCE_MS });
  };
  watch(D27, 'rising', function (): void {
    const nowMs = uptimeMs();
    if (rotation.pulses) rotation.periodMs = nowMs - rotation.seenMs;
    rotation.seenMs = nowMs;
    rotation.pulses++;
  });
  [D13, D16, D17].map(function (button: Pin, index: number): void {
    button.mode('input_pullup');
    watch(button, 'falling', function (): void {
      pressed[index] = true;
    });
  });

  return {
    twoWire: I2C1,
    oneWire: new OneWire(D4),
    rotation: rotation,
    contactorEnable: D19,
    oneShotTrigger: D18,
    motor: D25,
    buzzer: D26,
    feedWatchdog: E.kickWatchdog,
    uptimeMs: uptimeMs,
    randomBits: E.hwRand,
    readContacts: function (inputs: Inputs): void {
      inputs.alertLatchOpen = !D23.read();
      inputs.contactorClosed = D32.read();
      inputs.emergencyStopPressed = !D33.read();
      inputs.startPressed = pressed[START]!;
      // A stop also counts as long as it is held: its watch may have been lost.
      inputs.stopPressed = pressed[STOP]! || !D16.read();
      inputs.resetPressed = pressed[RESET]!;
      inputs.rotationPulses = rotation.pulses;
      pressed[START] = pressed[STOP] = pressed[RESET] = false;
    },
    settingsFile: function (): unknown {
      return require('Storage').readJSON('bathkeeper.json', true);
    },
    joinNetwork: function (ssid: string, password: string, port: number, heard: (text: string) => void): void {
      let socket: DatagramSocket | undefined;
      let wifi: WifiModule;
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
      const join = function (): void {
        // The interpreter gives up after two tries, and we do not; the outcome is read from getStatus.
        if (wifi.getStatus().station === 'connected') {
          if (!socket) listen();
        } else {
          wifi.connect(ssid, { password: password }, function (): void {
            // 'connected' says it.
          });
        }
      };
      try {
        // Telnet and Bluetooth would let a stranger at the interpreter's console: no password stands before it. No network then.
        require('TelnetServer').setOptions({ mode: 'off' });
        if (typeof NRF !== 'undefined') NRF.sleep();
        wifi.stopAP();
        wifi.on('connected', listen);
        join();
        setInterval(join, NETWORK_RETRY_MS);
      } catch (why) {
        print('Network not joined: ' + why);
      }
    },
    connect: function (address: string, port: number, events: ConnectionEvents): Connection {
      const socket = require('net').connect({ host: address, port: port }, events.opened);
      socket.on('data', events.received);
      socket.on('close', events.closed);
      // An error is always followed by close.
      return socket;
    },
  };
}
