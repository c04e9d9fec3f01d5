/* The settings of the board in a rehearsal: a virtual one's, that may see what the chosen rig may see. Called in the rehearsal's thread. */
import { type BoardSettings, simulatedBoardSettings } from '@bathkeeper/firmware/bench';
import type { RigLimits } from '@bathkeeper/shared-core/control';
import type { RehearsalContact } from './rehearsal-faults.js';

/** The shunt shows 0.7 of its range at the rig's limit, as 35 A on 50 A / 75 mV do, and the supply goes a seventh beyond it. */
const SHUNT_SHARE = 0.7;
const SHUNT_MICROVOLTS = 75_000;
const SUPPLY_BEYOND = 8 / 7;
const CONVERTER_CODES = 4000;

/** Shunt and supply grow with the rig; a rig up to 35 A has the usual ones. */
export function rehearsalSettings(rig: RigLimits, contacts: readonly RehearsalContact[]): BoardSettings {
  const virtual = simulatedBoardSettings();
  const isLarger = rig.currentAmpsMax > virtual.rig.currentAmpsMax;
  return {
    ...virtual,
    rig: { ...rig },
    fitted: { ...virtual.fitted, ...Object.fromEntries(contacts.map((contact) => [contact, 1])) },
    ...(isLarger && {
      shunt: { ...virtual.shunt, microOhms: (SHUNT_MICROVOLTS * SHUNT_SHARE) / rig.currentAmpsMax },
      supply: { ...virtual.supply, codesPerAmp: CONVERTER_CODES / (SUPPLY_BEYOND * rig.currentAmpsMax) },
    }),
  };
}
