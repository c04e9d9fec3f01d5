/*
 * The settings of a virtual bath's board, and what the dashboard assumes of a real rig before it has heard of its limits.
 * A real board's settings are measured and written at the bath; none of them comes from here.
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

/** `secret`: 64 hexadecimal digits, the one that the controller was paired with. */
export function boardSettings(
  controllerId: string,
  secret: string,
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
    link: { address, port, signOfLifePort },
    secret,
    rig: PAIRED_RIG,
    shunt: { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0, measured: 1 },
    supply: { codeAtZero: 0, codesPerAmp: 100, measured: 1, baud: 9600 },
    probe: { offsetCelsius: 0, measured: 1, rom: '' },
    fitted: { leak: 0, smoke: 0, agitation: 0, filter: 0, level: 0, clock: 0, clips: [] as string[] },
  };
}
