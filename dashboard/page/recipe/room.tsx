/*
 * The recipe form: area, current density, thickness or charge; the dashboard answers each change with what would come of it.
 * Sending is not starting: the recipe waits for a person's press at the bath.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import { isLive } from '@bathkeeper/shared-core/control';
import type { CommandView, ControllerView, RecipePreview, Refusal } from '@bathkeeper/shared-core/messages';
import { bathProfiles, practiceOfRequest } from '@bathkeeper/shared-core/trade';
import { RefusalWords } from '../screens/refusal.js';
import { previewRecipe, sendRecipe } from '../state/api.js';
import { commandWords } from '../words/asking.js';
import { emptyRecipeForm, type RecipeField, type RecipeForm, recipeRequest } from './request.js';
import { RecipeOutlook } from './outlook.js';

/** Long enough not to ask at every key, short enough to feel alive. */
const PREVIEW_AFTER_MS = 250;

/** Per cent, in the empty field. */
function usualEfficiency(bath: string): string {
  return String(100 * practiceOfRequest(bath === '' ? {} : { bath }).cathodeEfficiency);
}

export function RecipeRoom(props: { controller: ControllerView }) {
  const { controller } = props;
  const runs = controller.live !== null && isLive(controller.live.phase);
  const [isOpen, setOpen] = useState(false);
  return (
    <details class="recipe fold" open={isOpen} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>New recipe</summary>
      {isOpen && (
        <>
          {runs && <p class="caution">A run is live. The bath takes a new recipe when it has ended.</p>}
          <RecipeFields controller={controller} runs={runs} />
        </>
      )}
    </details>
  );
}

function RecipeFields(props: { controller: ControllerView; runs: boolean }) {
  const { controllerId } = props.controller;
  const [form, setForm] = useState<RecipeForm>(emptyRecipeForm);
  const [touched, setTouched] = useState<ReadonlySet<RecipeField>>(new Set());
  const [preview, setPreview] = useState<RecipePreview | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [sent, setSent] = useState<CommandView | null>(null);
  const [isBusy, setBusy] = useState(false);
  const reading = recipeRequest(form);
  const problems = 'problems' in reading ? reading.problems : {};
  const told = props.controller.commands.find((c) => c.commandId === sent?.commandId) ?? sent;

  const newest = useRef(0);
  useEffect(() => {
    const turn = (newest.current += 1);
    const read = recipeRequest(form);
    if ('problems' in read) {
      setPreview(null);
      return;
    }
    const abort = new AbortController();
    const timer = setTimeout(() => {
      void previewRecipe(controllerId, read.request, abort.signal).then((answer) => {
        if (turn !== newest.current || abort.signal.aborted) return;
        setPreview(answer.ok ? answer.value : null);
        setRefusal(answer.ok ? null : answer.refusal);
      });
    }, PREVIEW_AFTER_MS);
    return () => {
      clearTimeout(timer);
      abort.abort();
    };
  }, [form, controllerId]);

  const change = (field: keyof RecipeForm, value: string): void => {
    setForm((before) => ({ ...before, [field]: value }));
    setRefusal(null);
  };
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    setTouched(new Set(Object.keys(emptyRecipeForm) as RecipeField[]));
    if ('problems' in reading || isBusy) return;
    setBusy(true);
    const answer = await sendRecipe(controllerId, reading.request);
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) setSent(answer.value);
  };
  const field = (name: RecipeField, label: string, unit: string, hint?: string) => {
    const problem = touched.has(name) ? problems[name] : undefined;
    return (
      <label class="field">
        <span>
          {label}
          {unit && <span class="unit"> {unit}</span>}
        </span>
        <input
          type="text"
          inputMode={name === 'partName' ? 'text' : 'decimal'}
          autocomplete="off"
          maxLength={name === 'partName' ? 80 : 12}
          value={form[name]}
          placeholder={hint}
          aria-invalid={problem ? 'true' : undefined}
          aria-describedby={problem ? `${name}-problem` : undefined}
          onInput={(event) => {
            // Judged while typing, not when leaving: words that appear on leaving would move the button from under the finger.
            change(name, event.currentTarget.value);
            if (event.currentTarget.value !== '') setTouched((before) => new Set(before).add(name));
          }}
        />
        {problem && (
          <span class="field-problem" id={`${name}-problem`}>
            {problem}
          </span>
        )}
      </label>
    );
  };
  return (
    <form class="recipe-form" onSubmit={(event) => void send(event)} noValidate>
      <div class="fields">
        {field('partName', 'Part', '', 'fluted bell lampshade')}
        <label class="field">
          <span>Bath</span>
          <select value={form.bath} onChange={(event) => change('bath', event.currentTarget.value)}>
            <option value="">Acid copper, of any kind</option>
            {bathProfiles.map(({ key, name }) => (
              <option key={key} value={key}>
                {name}
              </option>
            ))}
          </select>
        </label>
        {field('efficiency', 'Cathode efficiency', '%', usualEfficiency(form.bath))}
        {field('area', 'Surface area', 'dm²')}
        {field('density', 'Current density', 'A/dm²')}
        <fieldset class="until">
          <legend>Plate until</legend>
          <label class="choice">
            <input
              type="radio"
              name="until"
              checked={form.until === 'thickness'}
              onChange={() => change('until', 'thickness')}
            />
            an average thickness
          </label>
          <label class="choice">
            <input
              type="radio"
              name="until"
              checked={form.until === 'charge'}
              onChange={() => change('until', 'charge')}
            />
            a charge
          </label>
        </fieldset>
        {form.until === 'thickness' ? field('thickness', 'Average thickness', 'µm') : field('charge', 'Charge', 'Ah')}
        <details class="fold more">
          <summary>Strike, ramp, rotation</summary>
          <p class="hint">Empty: as usual, shown in the preview.</p>
          {field('strikeDensity', 'Strike current density', 'A/dm²', 'as usual')}
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
          disabled={isBusy || props.runs || (preview !== null && preview.refusals.length > 0)}
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
