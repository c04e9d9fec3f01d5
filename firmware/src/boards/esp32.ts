/*
 * The reference board: an ESP32 running Espruino. The only file with pin numbers; fulfils ports.ts. Wiring: hardware-notes/wiring.md.
 * At boot every output is low before anything else happens: one-shot cleared, motor and buzzer off.
 */
import { bathContacts, rotationSensor } from '../drivers/contacts.js';
import { dial, hearDatagrams } from '../drivers/sockets.js';
import type { Board } from '../ports.js';
import { SETTINGS_FILE } from '../settings.js';
import { BUS_HERTZ } from '../supplies/analogue.js';

/** Longer than the longest stall of a connect, and than the one-shot. */
const WATCHDOG_SECONDS = 30;
const NETWORK_RETRY_MS = 20000;

/** Before anything else. @onceAtBoot */
function setUpOutputs(): void {
  [D19, D18, D25, D26, D2].map(function (output: Pin): void {
    output.write(false);
  });
  E.enableWatchdog(WATCHDOG_SECONDS, false);
  I2C1.setup({ sda: D21, scl: D22, bitrate: BUS_HERTZ });
}

/** Telnet and Bluetooth would let a stranger at the interpreter's console: no password stands before it. @onceAtBoot */
function shutStrangersOut(wifi: WifiModule): void {
  require('TelnetServer').setOptions({ mode: 'off' });
  if (typeof NRF !== 'undefined') NRF.sleep();
  wifi.stopAP();
}

export function openBoard(): Board {
  setUpOutputs();
  const bootedAt = getTime();
  const uptimeMs = function (): number {
    return Math.round((getTime() - bootedAt) * 1000);
  };
  const rotation = rotationSensor(D27, bootedAt);
  const contacts = bathContacts(
    { start: D13, stop: D16, reset: D17, latch: D23, feedback: D32, emergencyStop: D33 },
    { leak: D34, smoke: D35, agitation: D36, filter: D39, level: D5 },
    rotation,
    uptimeMs,
  );

  return {
    twoWire: I2C1,
    oneWire: new OneWire(D4),
    rotation: rotation,
    contactorEnable: D19,
    oneShotTrigger: D18,
    motor: D25,
    buzzer: D26,
    supplyEnable: D2,
    dialingBlocks: true,
    feedWatchdog: E.kickWatchdog,
    uptimeMs: uptimeMs,
    randomBits: E.hwRand,
    readContacts: contacts.read,
    readWatchers: contacts.readWatchers,
    settingsText: function (): string | undefined {
      return require('Storage').read(SETTINGS_FILE);
    },
    openSerial: function (baud: number, received: (text: string) => void): SerialPort {
      Serial2.setup(baud, { tx: D14, rx: D15 });
      Serial2.on('data', received);
      return Serial2;
    },
    joinNetwork: function (ssid: string, password: string, port: number, heard: (text: string) => void): void {
      let socket: DatagramSocket | undefined;
      let wifi: WifiModule;
      const listen = function (): void {
        if (socket) socket.close();
        socket = hearDatagrams(port, heard);
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
        // No network when that throws.
        shutStrangersOut(wifi);
        wifi.on('connected', listen);
        join();
        setInterval(join, NETWORK_RETRY_MS);
      } catch (why) {
        print('No network: ' + why);
      }
    },
    connect: dial,
  };
}

/** The console's name: the serial port behind the board's own USB socket. */
export const CONSOLE = 'Serial1';

/** The start button is down now: asked by bring-up only, where a contactor stays closed only while it is. */
export function startIsDown(): boolean {
  return !D13.read();
}
