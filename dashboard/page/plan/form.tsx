/* What is asked of a plan: bath, target, current, supply first; the rest in sections that fold. Everything that is left empty is taken as usual. */
import { type AskedPath, bathProfiles, unitName } from '@bathkeeper/shared-core/trade';
import { TypedField } from '../forms/typed-field.js';
import { units } from '../state/units.js';
import { MeasuredOffer } from './measured-offer.js';
import { asking, currents, isNeeded, mayLieBelowZero, penNames, type PlanForm, targets, textAt } from './plan-form.js';
import { penFields, planSections } from './plan-sections.js';
import { usualHint } from './usual-hints.js';
import { changePlan, fieldMarks, fieldProblems, planForm, typePlan } from './plan-state.js';

const agitations = [
  ['', 'as usual for this bath'],
  ['still', 'still'],
  ['moving', 'moving: the part turns, or the bath is stirred'],
  ['vigorous', 'vigorous: air or pump'],
] as const;

export function PlanFields() {
  const form = planForm.value;
  return (
    <form class="plan-form" onSubmit={(event) => event.preventDefault()} noValidate aria-label="What the plan is asked">
      <div class="fields">
        <Choice
          words="Bath"
          value={form.bath}
          among={bathProfiles.map(({ key, name }) => [key, name] as const)}
          choose={(bath) => changePlan({ bath })}
        />
        <MeasuredOffer />
        <OneOf name="target" legend="Plate until" among={targets} chosen={form.target} choose="target" />
        <Field path={form.target} />
        <OneOf name="current" legend="Current by" among={currents} chosen={form.current} choose="current" />
        <Field path={form.current} />
        <Field path="supplyAmpsMax" />
        <Field path="supplyVoltsMax" />
      </div>
      {planSections.map(({ title, hint, fields }) => (
        <Section key={title} title={title} hint={hint} fields={fields}>
          {title === 'The bath as it is' && (
            <Choice
              words="The liquid is"
              value={form.agitation}
              among={agitations}
              choose={(agitation) => changePlan({ agitation })}
            />
          )}
        </Section>
      ))}
      <Section title="A second layer by pen" fields={form.pen === '' ? [] : penFields} isWanted={form.pen !== ''}>
        <Choice
          words="Pen"
          value={form.pen}
          among={[['', 'none'] as const, ...penNames.map((name) => [name, name.replace('-', ', ')] as const)]}
          choose={(pen) => changePlan({ pen })}
        />
      </Section>
    </form>
  );
}

function Section(props: {
  title: string;
  hint?: string | undefined;
  fields: readonly AskedPath[];
  isWanted?: boolean;
  children?: preact.ComponentChildren;
}) {
  const { title, hint, fields } = props;
  const [problems, marks] = [fieldProblems.value, fieldMarks.value];
  // A section in which something is wrong may not hide it.
  const isWrong = fields.some((path) => problems[path] !== undefined || marks[path] !== undefined);
  return (
    <details class="fold more" open={isWrong || props.isWanted}>
      <summary>{title}</summary>
      {hint !== undefined && <p class="hint">{hint}</p>}
      <div class="fields">
        {props.children}
        {fields.map((path) => (
          <Field key={path} path={path} />
        ))}
      </div>
    </details>
  );
}

function Field(props: { path: AskedPath }) {
  const { path } = props;
  const { words: name, unit } = asking(path);
  return (
    <div class="wish">
      <TypedField
        id={`plan-${path.replace('.', '-')}`}
        words={name}
        unit={unit === '1' || unit === 'money' ? undefined : unitName(unit, units.value)}
        kind={mayLieBelowZero(path) ? 'signed' : 'number'}
        typed={textAt(planForm.value, path, units.value)}
        problem={fieldProblems.value[path]}
        hint={isNeeded(planForm.value, path) ? undefined : usualHint(path, planForm.value.bath, units.value)}
        change={(text) => typePlan(path, text)}
      />
      {fieldMarks.value[path]?.map((words) => (
        <p key={words} class="caution">
          {words}
        </p>
      ))}
    </div>
  );
}

function OneOf<Of extends AskedPath>(props: {
  name: string;
  legend: string;
  among: readonly Of[];
  chosen: Of;
  choose: keyof Pick<PlanForm, 'target' | 'current'>;
}) {
  return (
    <fieldset class="until">
      <legend>{props.legend}</legend>
      {props.among.map((path) => (
        <label key={path} class="choice">
          <input
            type="radio"
            name={`plan-${props.name}`}
            checked={path === props.chosen}
            onChange={() => changePlan({ [props.choose]: path })}
          />
          {asking(path).words.toLowerCase()}
        </label>
      ))}
    </fieldset>
  );
}

function Choice<Of extends string>(props: {
  words: string;
  value: Of;
  among: readonly (readonly [Of, string])[];
  choose: (value: Of) => void;
}) {
  return (
    <label class="field">
      <span>{props.words}</span>
      <select value={props.value} onChange={(event) => props.choose(event.currentTarget.value as Of)}>
        {props.among.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}
