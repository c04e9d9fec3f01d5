/*
 * The second board: Espruino WiFi (STM32F411). Its network sits on a chip of its own behind a serial line, so no call of the network
 * holds the program up. The only file with its pin numbers; fulfils ports.ts. Wiring: hardware-notes/wiring.md.
 * At boot every output is low before anything else happens: one-shot cleared, motor, buzzer and supply off.
 */
import { bathContacts, rotationSensor } from '../drivers/contacts.js';
import { dial, hearDatagrams } from '../drivers/sockets.js';
import type { Board } from '../ports.js';
import { SETTINGS_FILE } from '../settings.js';
import { BUS_HERTZ } from '../supplies/analogue.js';

/** Longer than the one-shot; its own clock is inaccurate by a third, and ends at 32 s. */
const WATCHDOG_SECONDS = 26;
const NETWORK_RETRY_MS = 30000;

/** Before anything else. @onceAtBoot */
function setUpOutputs(): void {
  [B14, B13, B15, B10, B1].map(function (output: Pin): void {
    output.write(false);
  });
  E.enableWatchdog(WATCHDOG_SECONDS, false);
  I2C1.setup({ sda: B9, scl: B8, bitrate: BUS_HERTZ });
}

export function openBoard(): Board {
  setUpOutputs();
  const bootedAt = getTime();
  const uptimeMs = function (): number {
    return Math.round((getTime() - bootedAt) * 1000);
  };
  // Pins that are watched need different numbers: the chip has one interrupt line for each.
  const rotation = rotationSensor(A5, bootedAt);
  const contacts = bathContacts(
    { start: A0, stop: A1, reset: A4, latch: A6, feedback: A7, emergencyStop: B0 },
    // One pin short: the contacts of agitation and filter stand in series on one.
    { leak: B3, smoke: B4, agitation: B5, filter: B5, level: A10 },
    rotation,
    uptimeMs,
  );

  return {
    twoWire: I2C1,
    oneWire: new OneWire(A8),
    rotation: rotation,
    contactorEnable: B14,
    oneShotTrigger: B13,
    motor: B15,
    buzzer: B10,
    supplyEnable: B1,
    dialingBlocks: false,
    feedWatchdog: E.kickWatchdog,
    uptimeMs: uptimeMs,
    randomBits: E.hwRand,
    readContacts: contacts.read,
    readWatchers: contacts.readWatchers,
    settingsText: function (): string | undefined {
      return require('Storage').read(SETTINGS_FILE);
    },
    openSerial: function (baud: number, received: (text: string) => void): SerialPort {
      // Without USB the console stands on these pins: the supply's answers would be typed into it.
      E.setConsole('USB', { force: true });
      Serial1.setup(baud, { tx: B6, rx: B7 });
      Serial1.on('data', received);
      return Serial1;
    },
    joinNetwork: function (ssid: string, password: string, port: number, heard: (text: string) => void): void {
      let wifi: WifiModule;
      let isJoining = false;
      let isJoined = false;
      let isListening = false;
      const listen = function (): void {
        isJoined = true;
        if (isListening) return;
        try {
          hearDatagrams(port, heard);
          isListening = true;
        } catch (_) {
          // Builds without datagrams dial without a sign of life: here that holds nothing up.
        }
      };
      const join = function (): void {
        if (isJoined || isJoining) return;
        isJoining = true;
        wifi.connect(ssid, { password: password }, function (fault: string | null): void {
          isJoining = false;
          isJoined = !fault;
          // The network's chip is switched off, so that the next try finds it fresh.
          if (fault) wifi.disconnect();
        });
      };
      try {
        wifi = require('Wifi');
        wifi.on('connected', listen);
        wifi.on('disconnected', function (): void {
          isJoined = false;
        });
        join();
        setInterval(join, NETWORK_RETRY_MS);
      } catch (why) {
        print('No network: ' + why);
      }
    },
    connect: dial,
  };
}

export const CONSOLE = 'USB';

/** The start button is down now: asked by bring-up only, where a contactor stays closed only while it is. */
export function startIsDown(): boolean {
  return !A0.read();
}
