/*
 * The plan: what tonight needs for the parts that hang in the bath, and why. Loaded when somebody comes here; needs no bath and no controller. The parts
 * come from the room Part.
 */
import {
  assumptions,
  inWords,
  partsOfPlan,
  type Plan,
  planInShort,
  shownWith,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';
import { takeAsRecipe } from '../recipe/from-plan.js';
import { SAVED_PLANS_ADDRESS } from '../state/route.js';
import { units } from '../state/units.js';
import { PlanFigureGroups } from './figures.js';
import { PlanFields } from './form.js';
import { NightAhead } from './night-ahead.js';
import { SavePlan } from './save-plan.js';
import { planState, type PlanState } from './plan-state.js';
import { TakeAway } from './take-away.js';

export function PlanRoom() {
  const state = planState.value;
  return (
    <main class="plan-room">
      <h1>{headWords(state)}</h1>
      <div class="plan-sides">
        <PlanFields />
        <div class="plan-told">
          <Told state={state} />
        </div>
      </div>
    </main>
  );
}

function headWords(state: PlanState): string {
  return state.kind === 'planned' ? `Plan: ${partsOfPlan(state.plan)}` : 'What does tonight need?';
}

function Told(props: { state: PlanState }) {
  const { state } = props;
  switch (state.kind) {
    case 'no-part':
      return (
        <p>
          Choose what goes into the bath first: <a href="#part">a model, a simple shape or an area</a>. Then its plan
          stands here. Or open <a href={SAVED_PLANS_ADDRESS}>a saved plan</a>.
        </p>
      );
    case 'mistyped':
      return (
        <p class="caution" role="alert">
          Put right what is marked in the fields. The plan stands here then.
        </p>
      );
    case 'refused':
      return <Sentences title="This cannot be planned" kind="refusals" sentences={state.faults} units={units.value} />;
    case 'planned':
      return <Planned plan={state.plan} units={units.value} />;
  }
}

function Planned(props: { plan: Plan; units: UnitSystem }) {
  const { plan, units } = props;
  const { distribution, deposit } = plan.figures;
  const [set, gives] = planInShort(plan, units);
  const thickness = [
    ['thin places, about', distribution.thinPlaceMicrometres],
    ['on average', deposit.averageThicknessMicrometres],
    ['edges, about', distribution.edgeMicrometres],
  ] as const;
  return (
    <>
      <p class="summary" aria-live="polite">
        {set} {gives}
      </p>
      <dl class="three-thicknesses" aria-label="Thickness, three different numbers">
        {thickness.map(([term, figure]) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{shownWith(figure.value, figure.unit, units, 2)}</dd>
          </div>
        ))}
      </dl>
      <p>
        <button type="button" class="plain" onClick={() => takeAsRecipe(plan)}>
          Take this as the recipe
        </button>
      </p>
      <SavePlan plan={plan} />
      <TakeAway plan={plan} units={units} />
      {plan.claimRefusal !== undefined && (
        <Sentences title="Refused" kind="refusals" sentences={[plan.claimRefusal]} units={units} />
      )}
      <Sentences
        title="Before you start"
        kind="cautions"
        sentences={[...new Set(plan.warnings.map(({ words }) => words))]}
        units={units}
      />
      <NightAhead plan={plan} units={units} />
      <PlanFigureGroups plan={plan} units={units} />
      <Sentences title="Not known" kind="gaps" sentences={plan.gaps} units={units} />
      <Sentences
        title="Taken as usual, since nobody said otherwise"
        kind="gaps"
        sentences={assumptions(plan, units)}
        units="metric"
      />
    </>
  );
}

function Sentences(props: {
  title: string;
  kind: 'refusals' | 'cautions' | 'gaps';
  sentences: readonly string[];
  units: UnitSystem;
}) {
  const { title, kind, sentences } = props;
  if (sentences.length === 0) return null;
  return (
    <section class="plan-sentences">
      <h2>{title}</h2>
      <ul class={kind}>
        {sentences.map((words) => (
          <li key={words}>{inWords(words, props.units)}</li>
        ))}
      </ul>
    </section>
  );
}
