/* A refusal in its own words, announced when it appears. Used under every form and button that can be refused. */
import type { Refusal } from '@bathkeeper/shared-core/messages';

export function RefusalWords(props: { refusal: Refusal | null }) {
  return (
    <div role="alert" class="refusal">
      {props.refusal && (
        <>
          <p>{props.refusal.error}</p>
          {props.refusal.problems.length > 0 && (
            <ul>
              {props.refusal.problems.map((problem) => (
                <li key={problem}>{problem}</li>
              ))}
            </ul>
          )}
        </>
      )}
    </div>
  );
}
