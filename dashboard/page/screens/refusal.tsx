/* A refusal in its own words and the person's units, announced when it appears. Used under every form and button that can be refused. */
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { told } from '../state/units.js';

export function RefusalWords(props: { refusal: Refusal | null }) {
  return (
    <div role="alert" class="refusal">
      {props.refusal && (
        <>
          <p>{told(props.refusal.error)}</p>
          {props.refusal.problems.length > 0 && (
            <ul>
              {props.refusal.problems.map((problem) => (
                <li key={problem}>{told(problem)}</li>
              ))}
            </ul>
          )}
        </>
      )}
    </div>
  );
}
