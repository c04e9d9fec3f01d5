/* Keeps the plan that stands on the page: under a name, over the one that was opened, or beside it. Shown in the plan's room. */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { partNames, type Plan, type SavedPlan } from '@bathkeeper/shared-core/trade';
import { RefusalWords } from '../screens/refusal.js';
import type { Answer } from '../state/api.js';
import { changeSavedPlan, savePlan } from '../state/plan-api.js';
import { REHEARSAL_ADDRESS, SAVED_PLANS_ADDRESS } from '../state/route.js';
import { isUnsaved, keptPlan, nowKept } from './kept-plan.js';

const NAME_CHARACTERS = 80;

export function SavePlan(props: { plan: Plan }) {
  const { request } = props.plan;
  const kept = keptPlan.value;
  const [typed, setTyped] = useState<string | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const name = (typed ?? partNames(request.parts).slice(0, NAME_CHARACTERS)).trim();
  const done = async (asked: Promise<Answer<SavedPlan>>): Promise<void> => {
    setBusy(true);
    const answer = await asked;
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (!answer.ok) return;
    setTyped(null);
    nowKept(answer.value);
  };
  return (
    <div class="save-plan">
      <p role="status">
        {kept === null
          ? ''
          : isUnsaved.value
            ? `Changed since it was saved as “${kept.name}”.`
            : `Saved as “${kept.name}”.`}
      </p>
      {kept !== null && isUnsaved.value && (
        <button
          type="button"
          class="plain"
          disabled={isBusy}
          onClick={() => void done(changeSavedPlan(kept.planId, { request }))}
        >
          Save the change
        </button>
      )}
      <details class="fold more">
        <summary>{kept === null ? 'Save this plan' : 'Save it under another name'}</summary>
        <form
          onSubmit={(event) => {
            event.preventDefault();
            if (name !== '') void done(savePlan({ name, request }));
          }}
        >
          <label class="field">
            <span>Name of the plan</span>
            <input
              type="text"
              autocomplete="off"
              maxLength={NAME_CHARACTERS}
              value={typed ?? name}
              onInput={(event) => setTyped(event.currentTarget.value)}
            />
          </label>
          <button type="submit" class="plain" disabled={isBusy || name === ''}>
            Save
          </button>
        </form>
      </details>
      <RefusalWords refusal={refusal} />
      <p class="row">
        <a class="target" href={REHEARSAL_ADDRESS}>
          Rehearse this night
        </a>
        <a class="target" href={SAVED_PLANS_ADDRESS}>
          Saved plans
        </a>
      </p>
    </div>
  );
}
