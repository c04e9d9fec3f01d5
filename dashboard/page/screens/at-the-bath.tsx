/*
 * What somebody who stands at the bath must read from two steps away: the current to be set by hand, and a part that stands without
 * current. Shown on the bath page above the alarms, and only from readings that are not old.
 */
import type { ControllerView, LiveView } from '@bathkeeper/shared-core/messages';
import { byHand } from '../words/by-hand.js';
import { standsWithoutCurrent } from '../words/interruption.js';

export function SetByHand(props: { live: LiveView | null }) {
  const order = byHand(props.live);
  if (order === null) return null;
  return (
    <section class="by-hand" data-set={order.isSet ? '' : undefined} aria-label="At the supply">
      <p class="order" aria-live="polite">
        {order.order}
      </p>
      <p>{order.detail}</p>
    </section>
  );
}

export function WithoutCurrent(props: { controller: ControllerView }) {
  const standing = standsWithoutCurrent(props.controller);
  if (standing === null) return null;
  return (
    <section class="without-current" aria-label="The part without current">
      <p>
        <strong>{standing.title}</strong> {standing.advice}
      </p>
    </section>
  );
}
