/* Which bath a recipe is for, what is usual in it, and what a person must know before choosing it. Used by the recipe form. */
import { bathProfile, bathProfiles, inWords, practiceOfRequest } from '@bathkeeper/shared-core/trade';
import { units } from '../state/units.js';

/** Per cent, as it stands in the empty field. Example: `usualEfficiency('')` is "100". */
export function usualEfficiency(bath: string): string {
  const { cathodeEfficiency } = practiceOfRequest(bath === '' ? {} : { bath });
  return String(Number((100 * cathodeEfficiency).toPrecision(6)));
}

export function BathChoice(props: { bath: string; onChosen: (bath: string) => void }) {
  const { min, max } = practiceOfRequest(props.bath === '' ? {} : { bath: props.bath }).densityAmpsPerDm2;
  const cautions = bathProfile(props.bath)?.cautions ?? [];
  return (
    <>
      <label class="field">
        <span>
          Bath <span class="unit">{inWords(`usual: ${String(min)} to ${String(max)} A/dm²`, units.value)}</span>
        </span>
        <select value={props.bath} onChange={(event) => props.onChosen(event.currentTarget.value)}>
          <option value="">Acid copper, of any kind</option>
          {bathProfiles.map(({ key, name }) => (
            <option key={key} value={key}>
              {name}
            </option>
          ))}
        </select>
      </label>
      {cautions.length > 0 && (
        <ul class="cautions" aria-label="Before you choose this bath">
          {cautions.map((words) => (
            <li key={words}>{inWords(words, units.value)}</li>
          ))}
        </ul>
      )}
    </>
  );
}
