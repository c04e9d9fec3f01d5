/* The recipe room of a bath's page: folded until somebody wants a new recipe. The form is in fields.tsx. */
import { useState } from 'preact/hooks';
import { isLive } from '@bathkeeper/shared-core/control';
import type { ControllerView } from '@bathkeeper/shared-core/messages';
import { RecipeFields } from './fields.js';

export function RecipeRoom(props: { controller: ControllerView }) {
  const [isOpen, setOpen] = useState(false);
  return (
    <details class="recipe fold" open={isOpen} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>New recipe</summary>
      {isOpen && (
        <>
          <RunIsLive controller={props.controller} />
          <RecipeFields controller={props.controller} />
        </>
      )}
    </details>
  );
}

/** Said where a recipe cannot be sent now; nothing otherwise. */
export function RunIsLive(props: { controller: ControllerView }) {
  const { live } = props.controller;
  if (live === null || !isLive(live.phase)) return null;
  return <p class="caution">A run is live. The bath takes a new recipe when it has ended.</p>;
}
