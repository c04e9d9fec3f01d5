/* Says that a form stands as it was left, and clears it. Used by every form whose draft is kept. */
import type { Draft } from './draft.js';

export function AsLeft(props: { draft: Pick<Draft<unknown>, 'isAsLeft' | 'clear'>; more?: string }) {
  if (!props.draft.isAsLeft) return null;
  return (
    <p class="as-left" role="status">
      <span class="hint">As you left it. {props.more}</span>{' '}
      <button
        type="button"
        class="quiet"
        onClick={(event) => {
          const { form } = event.currentTarget;
          props.draft.clear();
          // The button goes: whoever pressed it by the keyboard stays in the form.
          form?.querySelector<HTMLElement>('select, input, textarea')?.focus();
        }}
      >
        Clear it
      </button>
    </p>
  );
}
