/* Every bath profile there is, and how one is found by what a person typed. Called by the planner, the command and the page. */
import { brightCopper, formingCopper, highThrowCopper } from './acid-copper.js';
import type { BathProfile } from './bath-profile.js';
import { silverCyanide, sulphamateNickel, wattsNickel } from './other-metals.js';

export const bathProfiles: readonly BathProfile[] = [
  brightCopper,
  highThrowCopper,
  formingCopper,
  wattsNickel,
  sulphamateNickel,
  silverCyanide,
];

/** The profile of that key; undefined where there is none. Example: `bathProfile('bright-copper')?.metal.symbol` is "Cu". */
export function bathProfile(key: string): BathProfile | undefined {
  return bathProfiles.find((each) => each.key === key);
}
