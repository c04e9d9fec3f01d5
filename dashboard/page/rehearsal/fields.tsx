/* What is asked of a rehearsal: whose rig, and what goes wrong when. Shown in the rehearsal's room; sends nothing by itself. */
import { useState } from 'preact/hooks';
import type { ControllerView } from '@bathkeeper/shared-core/messages';
import type { PlanRequest, RehearsalFaultChoice, RehearsalRequest } from '@bathkeeper/shared-core/trade';
import { TypedField } from '../forms/typed-field.js';
import { told } from '../state/units.js';
import { faultProblems, FAULTS_MAX, faultsAsked, type FaultTyped } from './faults-form.js';

/** An hour after the start, when the current is full in most nights. */
const USUAL_AFTER = '1';

export function RehearsalFields(props: {
  request: PlanRequest;
  choices: readonly RehearsalFaultChoice[];
  controllers: readonly ControllerView[];
  isRunning: boolean;
  start: (request: RehearsalRequest) => void;
}) {
  const { choices, controllers } = props;
  const [rig, setRig] = useState(controllers[0]?.controllerId ?? '');
  const [typed, setTyped] = useState<readonly FaultTyped[]>([]);
  const faults = faultsAsked(typed, choices);
  const change = (index: number, to: Partial<FaultTyped>): void => {
    setTyped((before) => before.map((fault, at) => (at === index ? { ...fault, ...to } : fault)));
  };
  return (
    <form
      class="rehearsal-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        if (faults === undefined) return;
        props.start({ request: props.request, controllerId: rig === '' ? null : rig, faults });
      }}
    >
      <label class="field">
        <span>With the limits of</span>
        <select value={rig} onChange={(event) => setRig(event.currentTarget.value)}>
          {controllers.map(({ controllerId, bathName }) => (
            <option key={controllerId} value={controllerId}>
              {bathName}
            </option>
          ))}
          <option value="">{told('a new rig: 35 A, 40 °C, 14 h')}</option>
        </select>
      </label>
      <fieldset>
        <legend>What goes wrong</legend>
        {typed.length === 0 && <p class="hint">Nothing: the night as it should be.</p>}
        <ul class="going-wrong">
          {typed.map((fault, index) => (
            <FaultRow
              key={index}
              place={index + 1}
              fault={fault}
              choices={choices}
              change={(to) => change(index, to)}
              remove={() => setTyped((before) => before.filter((_, at) => at !== index))}
            />
          ))}
        </ul>
        {typed.length < FAULTS_MAX && (
          <button
            type="button"
            class="quiet"
            onClick={() => {
              setTyped((before) => [...before, { name: choices[0]?.name ?? '', after: USUAL_AFTER, lasts: '' }]);
            }}
          >
            {typed.length === 0 ? 'Let something go wrong' : 'And something else'}
          </button>
        )}
      </fieldset>
      <button type="submit" class="plain" disabled={props.isRunning || faults === undefined}>
        Play the night
      </button>
    </form>
  );
}

function FaultRow(props: {
  place: number;
  fault: FaultTyped;
  choices: readonly RehearsalFaultChoice[];
  change: (to: Partial<FaultTyped>) => void;
  remove: () => void;
}) {
  const { place, fault, choices, change } = props;
  const problems = faultProblems(fault);
  const isMomentary = choices.find(({ name }) => name === fault.name)?.isMomentary === true;
  return (
    <li>
      <label class="field">
        <span class="unseen">Fault {place}</span>
        <select value={fault.name} onChange={(event) => change({ name: event.currentTarget.value })}>
          {choices.map(({ name, words }) => (
            <option key={name} value={name}>
              {words}
            </option>
          ))}
        </select>
      </label>
      <TypedField
        id={`fault-${String(place)}-after`}
        words="After"
        unit="hours of current"
        typed={fault.after}
        problem={problems.after}
        change={(after) => change({ after })}
      />
      {!isMomentary && (
        <TypedField
          id={`fault-${String(place)}-lasts`}
          words="For"
          unit="minutes"
          hint="to the end"
          typed={fault.lasts}
          problem={problems.lasts}
          change={(lasts) => change({ lasts })}
        />
      )}
      <button type="button" class="quiet" aria-label={`Leave fault ${String(place)} out`} onClick={props.remove}>
        Leave it out
      </button>
    </li>
  );
}
