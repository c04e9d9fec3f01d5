/* The plans that are kept: opened, renamed, copied, deleted, and brought back for thirty days. A screen of its own, reached from the plan. */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { bathProfile, type SavedPlanEntry, shownWith } from '@bathkeeper/shared-core/trade';
import { AskedTwice } from '../forms/asked-twice.js';
import { LastRow } from '../forms/last-row.js';
import { RefusalWords } from '../screens/refusal.js';
import type { Answer } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { askPlan, askPlans, bringPlanBack, changeSavedPlan, copyPlan, deletePlan } from '../state/plan-api.js';
import { PLAN_ADDRESS } from '../state/route.js';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { dayDate, timeWords } from '../words/times.js';
import { isUnsaved, keptPlan, openKept } from './kept-plan.js';

type Act = (asked: Promise<Answer<unknown>>, said?: string) => Promise<boolean>;

export function SavedPlans() {
  const { value: plans, refusal, again } = useAsked(askPlans, []);
  const [actRefusal, setActRefusal] = useState<Refusal | null>(null);
  const [said, setSaid] = useState('');
  const act: Act = async (asked, words = '') => {
    const answer = await asked;
    setActRefusal(answer.ok ? null : answer.refusal);
    setSaid(answer.ok ? words : '');
    again();
    return answer.ok;
  };
  const here = plans?.filter(({ deletedAtMs }) => deletedAtMs === null) ?? [];
  const deleted = plans?.filter(({ deletedAtMs }) => deletedAtMs !== null) ?? [];
  return (
    <main class="leaf saved-plans">
      <h1>Saved plans</h1>
      <p class="hint">
        Each is kept with the figures of its parts. A model itself stays in its file: drop it into Part again to see it.
      </p>
      {plans === null && refusal === null && <p class="hint">Looking…</p>}
      {plans !== null && here.length === 0 && (
        <p>
          None yet. <a href={PLAN_ADDRESS}>Make a plan</a>, then save it there.
        </p>
      )}
      <p role="status" class="said">
        {said}
      </p>
      <RefusalWords refusal={refusal ?? actRefusal} />
      <ul class="plans">
        {here.map((entry) => (
          <PlanRow key={entry.planId} entry={entry} act={act} refused={setActRefusal} />
        ))}
      </ul>
      {deleted.length > 0 && <Deleted entries={deleted} act={act} />}
      <p>
        <a class="target" href={PLAN_ADDRESS}>
          Back to the plan
        </a>
      </p>
    </main>
  );
}

function PlanRow(props: { entry: SavedPlanEntry; act: Act; refused: (refusal: Refusal) => void }) {
  const { entry, act } = props;
  const { planId, name } = entry;
  const [isRenamed, setRenamed] = useState(false);
  const open = async (): Promise<void> => {
    const answer = await askPlan(planId);
    if (answer.ok) openKept(answer.value);
    else props.refused(answer.refusal);
  };
  const remove = async (): Promise<void> => {
    const isDone = await act(deletePlan(planId), `“${name}” is deleted. It can be brought back below.`);
    if (isDone && keptPlan.peek()?.planId === planId) keptPlan.value = null;
  };
  return (
    <li aria-label={name}>
      <h2>{name}</h2>
      <p class="hint">{entryWords(entry)}</p>
      {isRenamed ? (
        <Rename entry={entry} act={act} leave={() => setRenamed(false)} />
      ) : (
        <div class="row">
          <OpenButton name={name} open={() => void open()} />
          <button type="button" class="quiet" aria-label={`Rename ${name}`} onClick={() => setRenamed(true)}>
            Rename
          </button>
          <button type="button" class="quiet" aria-label={`Copy ${name}`} onClick={() => void act(copyPlan(planId))}>
            Copy
          </button>
          <button type="button" class="quiet" aria-label={`Delete ${name}`} onClick={() => void remove()}>
            Delete
          </button>
        </div>
      )}
    </li>
  );
}

/** Asks a second time where something that is not saved would be replaced. */
function OpenButton(props: { name: string; open: () => void }) {
  const label = `Open ${props.name}`;
  if (!isUnsaved.value)
    return (
      <button type="button" class="quiet" aria-label={label} onClick={props.open}>
        Open
      </button>
    );
  return (
    <AskedTwice
      words="Open"
      label={label}
      question={`What stands in Part and Plan is not saved, and “${props.name}” takes its place.`}
      yes="Open it all the same"
      act={props.open}
    />
  );
}

function Rename(props: { entry: SavedPlanEntry; act: Act; leave: () => void }) {
  const { planId, name } = props.entry;
  const [typed, setTyped] = useState(name);
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const renamed = typed.trim();
    if (renamed === '' || !(await props.act(changeSavedPlan(planId, { name: renamed })))) return;
    const kept = keptPlan.peek();
    if (kept?.planId === planId) keptPlan.value = { ...kept, name: renamed };
    props.leave();
  };
  return (
    <form onSubmit={(event) => void send(event)}>
      <label class="field">
        <span>New name</span>
        <input
          type="text"
          autocomplete="off"
          maxLength={80}
          value={typed}
          onInput={(event) => setTyped(event.currentTarget.value)}
        />
      </label>
      <LastRow send="Rename" isDull={typed.trim() === ''} onLeave={props.leave} />
    </form>
  );
}

function Deleted(props: { entries: readonly SavedPlanEntry[]; act: Act }) {
  return (
    <section aria-labelledby="deleted-plans">
      <h2 id="deleted-plans">Deleted</h2>
      <ul class="plans">
        {props.entries.map(({ planId, name, goneAtMs }) => (
          <li key={planId} aria-label={name}>
            <p>
              {name} <span class="hint">can be brought back until {dayDate(goneAtMs ?? 0)}</span>
            </p>
            <button
              type="button"
              class="quiet"
              aria-label={`Bring back ${name}`}
              onClick={() => void props.act(bringPlanBack(planId), `“${name}” is back.`)}
            >
              Bring it back
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Example: "2 × leaf, 12.0 dm², Watts nickel, saved 03:12 yesterday". */
function entryWords({ parts, areaDm2, bath, changedAtMs }: SavedPlanEntry): string {
  const bathName = bath === null ? undefined : (bathProfile(bath)?.name ?? bath);
  return [
    parts,
    shownWith(areaDm2, 'dm²', units.value, 3),
    ...(bathName === undefined ? [] : [bathName]),
    `saved ${timeWords(changedAtMs, serverNowMs.value)}`,
  ].join(', ');
}
