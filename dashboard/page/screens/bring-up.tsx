/*
 * Bring-up of a controller, followed step by step: what to do at the bath, what to type over USB, what was done. It types nothing and moves
 * nothing: commands are given at the console, by a person who stands at the bath. Reached from the settings.
 */
import type { ControllerView, LiveView } from '@bathkeeper/shared-core/messages';
import { ageOf, isConnected, serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { ageWords } from '../words/age.js';
import { type BringUpState, bringUpStates, type BringUpWords, bringUpWords, seenNow } from '../words/bring-up.js';

/** `controller` null: it is not paired yet, or nobody said which. */
export function BringUpScreen(props: { controllerId: string | null; controller: ControllerView | null }) {
  const { controller } = props;
  const controllerId = props.controllerId ?? 'north-bench';
  const steps = bringUpWords(controllerId, controller?.live?.supplyKind ?? null);
  const states = bringUpStates(steps, controller, serverNowMs.value, { units: units.value });
  const age = controller ? ageOf(controller) : null;
  const fresh = age === null ? 'never' : isConnected.value || age.fresh === 'never' ? age.fresh : 'lost';
  const live = fresh === 'live' ? (controller?.live ?? null) : null;
  const doneCount = states.filter(({ state }) => state === 'done').length;
  return (
    <main class="leaf bring-up">
      <h1>Bring-up{props.controllerId ? ` of ${props.controllerId}` : ''}</h1>
      <p>
        Once for every new controller, and again for a step after something was changed: another shunt, probe, supply or
        contactor. It takes an evening. Nothing is energised before it is complete.
      </p>
      <p class="caution">
        Before the first step: part out of the tank, supply off at its mains, emergency stop within reach. This is not a
        safety-rated system. Local electrical and fire codes come first, and work on the mains belongs to a licensed
        electrician.
      </p>
      <p>
        Connect the board over USB, open its console at 115200 baud, and type <code>bringUp()</code>. It answers what it
        expects, what it got, and what comes next; <code>help()</code> shows all commands. The numbers below are
        examples: type your own. Meanwhile the controller is not heard here, and the ticks come when it has left.
      </p>
      <p class="age" data-fresh={fresh} role="status">
        {controller === null
          ? 'It is not paired yet, so nothing can be followed: go by the console until step “Pair it”.'
          : `${String(doneCount)} of ${String(steps.length)} steps done. ${raisedAge(ageWords(age?.seconds ?? null, fresh))}.`}
      </p>
      <ol class="steps">
        {steps.map((step, place) => (
          <Step key={step.step} words={step} state={states[place]!} live={live} />
        ))}
      </ol>
      <p>
        <a href="#settings">Back to the settings</a>
      </p>
    </main>
  );
}

const raisedAge = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

const stateName: Readonly<Record<BringUpState['state'], string>> = {
  done: 'Done: ',
  unkept: 'Done, not kept: ',
  now: 'Now: ',
  later: 'Then: ',
};

function Step(props: { words: BringUpWords; state: BringUpState; live: LiveView | null }) {
  const { words, state, live } = props;
  const seen = live ? seenNow(words.step, live, units.value) : '';
  return (
    <li data-state={state.state} aria-current={state.state === 'now' ? 'step' : undefined}>
      <h2>
        <span class="unseen">{stateName[state.state]}</span>
        {words.title}
      </h2>
      {words.caution !== '' && <p class="caution">{words.caution}</p>}
      <p>{words.doIt}</p>
      <pre>
        <code>{words.commands.join('\n')}</code>
      </pre>
      <p class="why">{words.wellWhen}</p>
      {state.words !== '' && <p class="done-words">{state.words}</p>}
      {seen !== '' && <p class="why">The controller shows now: {seen}.</p>}
    </li>
  );
}
