/* The ways from the settings to the bring-up page: one for each controller, one for a board that is not paired yet. */
import type { Snapshot } from '@bathkeeper/shared-core/messages';
import { bringUpAddress } from '../state/route.js';

export function BringUpLinks(props: { known: Snapshot }) {
  return (
    <section aria-labelledby="bring-up-title">
      <h2 id="bring-up-title">Bring-up</h2>
      <p>
        Before its first run every controller is brought up at the bath: are its sensors there, does the contactor
        click, is the current right.
      </p>
      <ul class="links">
        {props.known.controllers.map(({ controllerId }) => (
          <li key={controllerId}>
            <a href={bringUpAddress(controllerId)}>Bring-up of {controllerId}</a>
          </li>
        ))}
        <li>
          <a href={bringUpAddress(null)}>Bring-up of a new controller</a>
        </li>
      </ul>
    </section>
  );
}
