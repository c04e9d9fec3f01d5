/*
 * The recipe form: bath, area, current density, thickness or charge; the dashboard answers each change with what would come of it.
 * Begins with what was handed to it. Sending is not starting: the recipe waits for a person's press at the bath.
 */
import { useState } from 'preact/hooks';
import { isLive } from '@bathkeeper/shared-core/control';
import type { CommandView, ControllerView, Refusal } from '@bathkeeper/shared-core/messages';
import { type PlanRequest, unitName } from '@bathkeeper/shared-core/trade';
import { textIn, typedIn } from '../forms/typed-figure.js';
import { TypedField } from '../forms/typed-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { sendRecipe } from '../state/api.js';
import { units } from '../state/units.js';
import { commandWords } from '../words/asking.js';
import { BathChoice, usualEfficiency } from './bath-choice.js';
import { RecipeOutlook } from './outlook.js';
import { usePreview } from './preview.js';
import {
  emptyRecipeForm,
  figureUnits,
  isRecipeFigure,
  type RecipeField,
  type RecipeForm,
  recipeRequest,
} from './request.js';

const allFields = new Set(Object.keys(emptyRecipeForm) as RecipeField[]);

export function RecipeFields(props: {
  controller: ControllerView;
  /** What it begins with; changed later it changes nothing. */
  begun?: RecipeForm;
  /** The plan that it begins with; goes along with the recipe. */
  plan?: PlanRequest;
  onSent?: () => void;
}) {
  const { controller } = props;
  const runs = controller.live !== null && isLive(controller.live.phase);
  const [form, setForm] = useState<RecipeForm>(props.begun ?? emptyRecipeForm);
  const [touched, setTouched] = useState<ReadonlySet<RecipeField>>(new Set());
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [sent, setSent] = useState<CommandView | null>(null);
  const [isBusy, setBusy] = useState(false);
  const preview = usePreview(controller.controllerId, form, setRefusal);
  const reading = recipeRequest(form);
  const problems = 'problems' in reading ? reading.problems : {};
  const told = controller.commands.find((c) => c.commandId === sent?.commandId) ?? sent;

  const change = (changed: Partial<RecipeForm>): void => {
    setForm((before) => ({ ...before, ...changed }));
    setRefusal(null);
  };
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    setTouched(allFields);
    if ('problems' in reading || isBusy) return;
    setBusy(true);
    const answer = await sendRecipe(controller.controllerId, reading.request, props.plan);
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (!answer.ok) return;
    setSent(answer.value);
    props.onSent?.();
  };
  const field = (name: RecipeField, label: string, unit?: string, hint?: string) => (
    <TypedField
      id={name}
      words={label}
      unit={isRecipeFigure(name) ? unitName(figureUnits[name], units.value) : unit}
      kind={name === 'partName' ? 'name' : 'number'}
      hint={hint}
      typed={isRecipeFigure(name) ? textIn(form[name], figureUnits[name], units.value) : form[name]}
      problem={touched.has(name) ? problems[name] : undefined}
      change={(text) => {
        // Judged while typing, not when leaving: words that appear on leaving would move the button from under the finger.
        change({ [name]: isRecipeFigure(name) ? typedIn(units.value, text) : text });
        if (text !== '') setTouched((before) => new Set(before).add(name));
      }}
    />
  );
  return (
    <form class="recipe-form" onSubmit={(event) => void send(event)} noValidate>
      <div class="fields">
        {field('partName', 'Part', undefined, 'fluted bell lampshade')}
        <BathChoice bath={form.bath} onChosen={(bath) => change({ bath })} />
        {field('efficiency', 'Cathode efficiency', '%', `as usual: ${usualEfficiency(form.bath)}`)}
        {field('area', 'Surface area')}
        {field('density', 'Current density')}
        <Until until={form.until} change={(until) => change({ until })} />
        {form.until === 'thickness' ? field('thickness', 'Average thickness') : field('charge', 'Charge', 'Ah')}
        <details class="fold more">
          <summary>Strike, ramp, rotation</summary>
          <p class="hint">Empty: as usual, shown in the preview.</p>
          {field('strikeDensity', 'Strike current density', undefined, 'as usual')}
          {field('strikeMinutes', 'Strike', 'minutes', 'as usual')}
          {field('rampMinutes', 'Ramp', 'minutes', 'as usual')}
          {field('rotation', 'Rotation pulses', 'a minute; 0: the part does not turn', 'as usual')}
        </details>
      </div>
      <div class="outlook" aria-live="polite">
        {preview ? <RecipeOutlook preview={preview} /> : <p class="hint">What would come of it appears here.</p>}
      </div>
      <div class="send">
        <button
          type="submit"
          class="plain"
          disabled={isBusy || runs || (preview !== null && preview.refusals.length > 0)}
        >
          Send to the bath
        </button>
        <p role="status" class="said" data-state={told?.state}>
          {told ? commandWords(told) : ''}
        </p>
        <RefusalWords refusal={refusal} />
      </div>
    </form>
  );
}

function Until(props: { until: RecipeForm['until']; change: (until: RecipeForm['until']) => void }) {
  const choice = (until: RecipeForm['until'], words: string) => (
    <label class="choice">
      <input type="radio" name="until" checked={props.until === until} onChange={() => props.change(until)} />
      {words}
    </label>
  );
  return (
    <fieldset class="until">
      <legend>Plate until</legend>
      {choice('thickness', 'an average thickness')}
      {choice('charge', 'a charge')}
    </fieldset>
  );
}
