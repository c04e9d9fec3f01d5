/*
 * The job sheet: the plan as it is printed and taken to the bath, in the person's units, with lines to write on. A screen of its own, which shows the sheet as it
 * will lie on paper (look/sheet.css). The reasons of the figures stay in the plan's room.
 */
import {
  assumptions,
  type Figure,
  figureGroups,
  figuresOf,
  inWords,
  notPlatedOfPlan,
  partsOfPlan,
  type Plan,
  planInShort,
  shownWith,
  type UnitSystem,
  unitName,
} from '@bathkeeper/shared-core/trade';
import { PLAN_ADDRESS } from '../state/route.js';
import { units as chosenUnits } from '../state/units.js';
import { boundsWords } from './figure-words.js';
import { NightTable } from './night-table.js';
import { planState } from './plan-state.js';

interface Shown {
  readonly plan: Plan;
  readonly units: UnitSystem;
}

export function JobSheetScreen() {
  const state = planState.value;
  if (state.kind !== 'planned') {
    return (
      <main class="leaf">
        <h1>No job sheet yet</h1>
        <p>
          There is no plan to print: it lacks a part or a number, or the page was loaded anew. Go{' '}
          <a href={PLAN_ADDRESS}>to the plan</a> first.
        </p>
      </main>
    );
  }
  return (
    <main class="sheet-screen">
      <div class="row sheet-acts">
        <button type="button" class="plain" onClick={() => print()}>
          Print it
        </button>
        <a class="target" href={PLAN_ADDRESS}>
          Back to the plan
        </a>
      </div>
      <JobSheet plan={state.plan} units={chosenUnits.value} />
    </main>
  );
}

function JobSheet({ plan, units }: Shown) {
  const [set, gives] = planInShort(plan, units);
  return (
    <article class="job-sheet">
      <h1>Job sheet: {partsOfPlan(plan)}</h1>
      <p class="sheet-bath">
        {plan.profile.name}. {unitWords(units)}
      </p>
      <p class="sheet-short">
        {set} {gives}
      </p>
      <SheetList title="Refused" sentences={plan.claimRefusal === undefined ? [] : [plan.claimRefusal]} units={units} />
      <SheetList title="Before you start" sentences={warningWords(plan)} units={units} isToTick />
      <SheetList title="Not plated" sentences={notPlatedOfPlan(plan)} units={units} />
      <WrittenByHand units={units} />
      <div class="sheet-figures">
        {figureGroups.map(({ group, title }) => (
          <SheetFigures key={group} title={title} figures={figuresOf(plan.figures, group)} units={units} />
        ))}
      </div>
      <SheetNight plan={plan} units={units} />
      <SheetList title="Not known" sentences={plan.gaps} units={units} />
      <section>
        <h2>Taken as usual, since nobody said otherwise</h2>
        <p>{assumptions(plan, units).join('; ')}.</p>
      </section>
    </article>
  );
}

function unitWords(units: UnitSystem): string {
  const [density, thickness, mass] = (['A/dm²', 'µm', 'g'] as const).map((unit) => unitName(unit, units));
  return `Units: ${units} (${density!}, ${thickness!}, ${mass!}).`;
}

function warningWords(plan: Plan): string[] {
  return [...new Set(plan.warnings.map(({ words }) => words))];
}

/** `isToTick`: with a box before each, to tick at the bath. */
function SheetList(props: { title: string; sentences: readonly string[]; units: UnitSystem; isToTick?: boolean }) {
  if (props.sentences.length === 0) return null;
  return (
    <section>
      <h2>{props.title}</h2>
      <ul class={props.isToTick === true ? 'to-tick' : undefined}>
        {props.sentences.map((words) => (
          <li key={words}>{inWords(words, props.units)}</li>
        ))}
      </ul>
    </section>
  );
}

/** What only the person at the bath can say. The mass before and after proves the night. */
function WrittenByHand({ units }: { units: UnitSystem }) {
  const grams = unitName('g', units);
  const lines = ['Date', 'Start', 'End', `Mass before, ${grams}`, `Mass after, ${grams}`, 'Charge counted, Ah'];
  return (
    <dl class="sheet-by-hand">
      {lines.map((words) => (
        <div key={words}>
          <dt>{words}</dt>
          <dd />
        </div>
      ))}
    </dl>
  );
}

function SheetFigures(props: { title: string; figures: readonly (readonly [string, Figure])[]; units: UnitSystem }) {
  const { title, figures, units } = props;
  if (figures.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <dl>
        {figures.map(([name, figure]) => (
          <div key={name}>
            <dt>{figure.label}</dt>
            <dd>
              <strong>{shownWith(figure.value, figure.unit, units)}</strong> {boundsWords(figure, units)}
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function SheetNight({ plan, units }: Shown) {
  return (
    <section class="sheet-night">
      <h2>The night</h2>
      <NightTable night={plan.night} units={units} />
    </section>
  );
}
