/*
 * What really happens in the tank, for tests and for who judges a night. Never read by the bundle, and looking changes nothing.
 */
import type { BathParts } from './bath-parts.js';
import { Pin } from './board/pins.js';

export interface BathTruth {
  readonly chargeMilliCoulombs: number;
  readonly currentAmps: number;
  readonly terminalVolts: number;
  readonly bathCelsius: number;
  readonly roomCelsius: number;
  readonly largestCurrentAmps: number;
  readonly isContactorClosed: boolean;
  readonly depositMassGrams: number;
  readonly averageThicknessMicrometres: number;
  readonly sheetOhmsPerSquare: number;
  readonly rotationPulses: number;
  readonly setPointCode: number;
  readonly isMotorOn: boolean;
  readonly isBuzzerOn: boolean;
  readonly isLatchClosed: boolean;
}

export function bathTruth(parts: BathParts, nightSeconds: number): BathTruth {
  const { tank, rotation, chain, pins, converter } = parts;
  // Looking must not change the night: the fraction since the tank's last step is added here, not stepped.
  const sinceStepSeconds = nightSeconds - tank.nowSeconds;
  return {
    chargeMilliCoulombs: Math.round((tank.chargeCoulombs + tank.currentAmps * sinceStepSeconds) * 1000),
    currentAmps: tank.currentAmps,
    terminalVolts: tank.terminalVolts,
    bathCelsius: tank.bathCelsius,
    roomCelsius: tank.roomCelsius,
    largestCurrentAmps: tank.largestCurrentAmps,
    isContactorClosed: chain.isContactorClosed,
    depositMassGrams: tank.depositMassGrams,
    averageThicknessMicrometres: tank.averageThicknessMicrometres,
    sheetOhmsPerSquare: tank.sheetOhmsPerSquare(),
    rotationPulses: rotation.pulses,
    setPointCode: converter.code,
    isMotorOn: pins.read(Pin.motor),
    isBuzzerOn: pins.read(Pin.buzzer),
    isLatchClosed: chain.isLatchClosed,
  };
}
