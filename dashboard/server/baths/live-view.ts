/* The newest message of a controller in the units that people read. Called by the bath book. */
import type { LiveView } from '@bathkeeper/shared-core/messages';
import { LiveKey } from '@bathkeeper/shared-core/messages';
import { MILLICOULOMBS_PER_AMPERE_HOUR } from '@bathkeeper/shared-core/trade';
import type { LiveMessage } from '../ingest/schemas.js';

const PULSE_FORGOTTEN_SECONDS = 9999;

export function liveView(message: LiveMessage, nowMs: number): LiveView {
  const centi = (value: number | undefined): number | null => (value === undefined ? null : value / 100);
  const periodMs = message[LiveKey.pulsePeriod];
  const age = message[LiveKey.pulseAge];
  const voltage = message[LiveKey.voltage];
  return {
    takenAtMs: nowMs,
    phase: message[LiveKey.phase] as LiveView['phase'],
    phaseSeconds: message[LiveKey.phaseSeconds],
    liveSeconds: message[LiveKey.liveSeconds],
    cathodeCurrentAmps: centi(message[LiveKey.current]),
    terminalVolts: voltage === undefined ? null : voltage / 1000,
    bathTemperatureCelsius: centi(message[LiveKey.temperature]),
    permittedAmps: message[LiveKey.permitted] / 100,
    chargeAmpereHours: message[LiveKey.charge] / MILLICOULOMBS_PER_AMPERE_HOUR,
    rotationPulsesPerMinute: periodMs > 0 && age * 1000 < 4 * periodMs + 20_000 ? 60_000 / periodMs : null,
    secondsSinceRotationPulse: age >= PULSE_FORGOTTEN_SECONDS ? null : age,
    derateFraction: message[LiveKey.derate] / 100,
    isContactorClosed: message[LiveKey.contactorClosed] === 1,
    conditions: [...codesIn(message[LiveKey.conditions]), ...codesIn(message[LiveKey.conditionsHigh], 33)],
    supplyKind: message[LiveKey.supplyKind] as LiveView['supplyKind'],
    rampState: message[LiveKey.rampState] as LiveView['rampState'],
    loweredToAmps: centi(message[LiveKey.lowered]),
    permissivesMissing: codesIn(message[LiveKey.permissivesMissing]),
  };
}

/** Codes whose bits are set, the lowest bit being that of code `first`. Example: `codesIn(5, 33)` is `[33, 35]`. */
export function codesIn(mask: number, first = 1): number[] {
  const codes: number[] = [];
  for (let bit = 0; bit < 32; bit++) if ((mask >>> bit) & 1) codes.push(first + bit);
  return codes;
}
