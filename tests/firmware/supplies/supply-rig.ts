/*
 * What a supply needs of a board, in memory: a two-wire bus that a test gives, a serial line whose other end is the test, settings
 * and inputs of a good bath. Time is moved by steps of 200 ms.
 */
import { type Inputs, MonitorFault } from '@bathkeeper/shared-core/control';
import type { Board, SerialLine, TwoWireBus } from '../../../firmware/src/ports.js';
import type { Settings } from '../../../firmware/src/settings.js';
import type { OpenSupply, SupplyOutput } from '../../../firmware/src/supplies/supply-output.js';

export class SupplyRig {
  nowMs = 0;
  baud = 0;
  /** What the firmware sent since the test last took it. */
  sent = '';
  receive: (text: string) => void = () => undefined;
  readonly inputs = { currentAmps: 0, terminalVolts: 0.02, monitorFault: MonitorFault.none } as Inputs;
  readonly supply: SupplyOutput;

  constructor(open: OpenSupply, twoWire?: TwoWireBus) {
    const openSerial = (baud: number, received: (text: string) => void): SerialLine => {
      this.baud = baud;
      this.receive = received;
      return { write: (text) => (this.sent += text) };
    };
    this.supply = open(
      { twoWire, openSerial } as unknown as Board,
      {
        limits: { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50400 },
        supply: { codeAtZero: 0, codesPerAmp: 100 },
        supplyBaud: 19200,
      } as Settings,
    );
  }

  step(amps: number, isSteady = true): void {
    this.nowMs += 200;
    this.supply.write(amps, this.inputs, isSteady, this.nowMs);
  }

  takeSent(): string {
    const sent = this.sent;
    this.sent = '';
    return sent;
  }
}
