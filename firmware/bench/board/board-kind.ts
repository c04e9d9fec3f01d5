/*
 * What differs between the two boards where the program meets the virtual bath: names of pins, the serial line, the modules of its build, and
 * whether dialling blocks. Pins are wired as hardware-notes/wiring.md has them. Read by the interpreter of a boot.
 */
import { Pin } from './pins.js';

export type BenchBoard = 'esp32' | 'espruino-wifi';

export interface BoardKind {
  /** The program's names for pins, and what each is wired to, by the reference board's name. */
  readonly pins: Readonly<Record<string, string>>;
  readonly serialPort: 'Serial1' | 'Serial2';
  /** Named files: the program, and what bring-up wrote. */
  readonly storageBytes: number;
  readonly hasDatagrams: boolean;
  /** Raw pages beside the named files. */
  readonly hasRawFlash: boolean;
  /** The network stands in the interpreter: connect() holds everything up. Otherwise on a chip of its own. */
  readonly dialingBlocks: boolean;
}

const esp32Pins: Record<string, string> = {};
for (let number = 0; number < 40; number++) esp32Pins[`D${String(number)}`] = `D${String(number)}`;

export const boardKinds: Readonly<Record<BenchBoard, BoardKind>> = {
  esp32: {
    pins: esp32Pins,
    serialPort: 'Serial2',
    storageBytes: 896 * 1024,
    hasDatagrams: true,
    hasRawFlash: true,
    dialingBlocks: true,
  },
  'espruino-wifi': {
    pins: {
      ...{ B14: Pin.oneShotClear, B13: Pin.oneShotTrigger, B15: Pin.motor, B10: Pin.buzzer, B1: Pin.secondMeans },
      ...{ A0: Pin.startButton, A1: Pin.stopButton, A4: Pin.resetButton, A6: Pin.alertLatch },
      ...{ A7: Pin.contactorFeedback, B0: Pin.emergencyStop, A5: Pin.rotation, A8: Pin.probe },
      // The contacts of agitation and filter stand in series on B5; here that of agitation alone.
      ...{ B3: Pin.leak, B4: Pin.smoke, B5: Pin.agitation, A10: Pin.level },
      // Buses: named in setup only.
      ...{ B6: 'serial tx', B7: 'serial rx', B8: 'clock of the bus', B9: 'data of the bus' },
    },
    serialPort: 'Serial1',
    storageBytes: 64 * 1024,
    hasDatagrams: false,
    hasRawFlash: false,
    dialingBlocks: false,
  },
};
