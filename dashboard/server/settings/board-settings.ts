/*
 * The settings file of a newly paired board, as text to be written to it, with careful limits that the owner widens at the bath.
 */
import type { RigLimits } from '@bathkeeper/shared-core/control';

/** Careful limits of a new rig: a 50 A shunt, copper at room temperature, 14 hours. */
export const PAIRED_RIG: RigLimits = {
  currentAmpsMax: 35,
  terminalVoltsMax: 8,
  bathCelsiusMax: 40,
  runSecondsMax: 50_400,
};
export const SIGN_OF_LIFE_PORT = 41_883;

export function boardSettings(
  controllerId: string,
  mqttPassword: string,
  address: string,
  port: number,
  signOfLifePort = SIGN_OF_LIFE_PORT,
  isSimulated = false,
) {
  return {
    v: 1,
    controllerId,
    simulated: isSimulated ? 1 : 0,
    wifi: { ssid: '', password: '' },
    link: { address, port, signOfLifePort, password: mqttPassword },
    rig: PAIRED_RIG,
    shunt: { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0 },
    supply: { codeAtZero: 0, codesPerAmp: 100 },
    probe: { offsetCelsius: 0 },
  };
}

export function settingsText(controllerId: string, mqttPassword: string, address: string, port: number): string {
  return JSON.stringify(boardSettings(controllerId, mqttPassword, address, port), null, 2);
}
