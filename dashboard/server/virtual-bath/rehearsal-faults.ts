/*
 * What may go wrong in a rehearsal, in the words of somebody who stands at the bath, and the contact that has to be fitted for it to be seen. A choice from the
 * bench's faults: those of the program's insides, and of supplies that this rehearsal does not have, are left out.
 */
import type { BoardSettings, FaultName } from '@bathkeeper/firmware/bench';
import type { RehearsalFaultChoice } from '@bathkeeper/shared-core/trade';

/** A contact that a board may have. */
export type RehearsalContact = Exclude<keyof BoardSettings['fitted'], 'clips' | 'clock'>;

interface RehearsalFault {
  readonly name: FaultName;
  readonly words: string;
  /** It is over at once: no time can be given. */
  readonly isMomentary?: boolean;
  readonly contact?: RehearsalContact;
}

export const rehearsalFaults: readonly RehearsalFault[] = [
  { name: 'rotation-stall', words: 'The part stops turning' },
  { name: 'rotation-slow', words: 'The part turns at a third of its speed' },
  { name: 'contact-loss', words: 'A clip lets go of the part' },
  { name: 'contact-weak', words: 'A clip works loose' },
  { name: 'anode-touches', words: 'An anode touches the part' },
  { name: 'anode-passivates', words: 'The anodes grow a film' },
  { name: 'bath-heating', words: 'A heater sticks on' },
  { name: 'bath-chilled', words: 'A chiller sticks on' },
  { name: 'overcurrent', words: 'The supply gives 1.6 times what it is asked' },
  { name: 'supply-weak', words: 'The supply gives three quarters of what it is asked' },
  { name: 'power-cut', words: 'The controller loses its power for a moment', isMomentary: true },
  { name: 'network-loss', words: 'The network is gone' },
  { name: 'probe-absent', words: 'The temperature probe falls off its wire' },
  { name: 'monitor-silent', words: 'The current is no longer measured' },
  { name: 'contactor-welds', words: 'The contactor welds shut' },
  { name: 'emergency-stop', words: 'Somebody presses the emergency stop' },
  { name: 'leak', words: 'The tank leaks, and a leak contact is fitted', contact: 'leak' },
  { name: 'smoke', words: 'There is smoke, and a smoke contact is fitted', contact: 'smoke' },
  { name: 'level-low', words: 'The liquid falls, and a level contact is fitted', contact: 'level' },
];

export function rehearsalFault(name: string): RehearsalFault | undefined {
  return rehearsalFaults.find((each) => each.name === name);
}

export const rehearsalFaultChoices: readonly RehearsalFaultChoice[] = rehearsalFaults.map(
  ({ name, words, isMomentary }) => ({ name, words, isMomentary: isMomentary === true }),
);
