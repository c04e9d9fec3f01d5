/* One night of a bath's alarms in figures, from noon to noon: how the alarms did, not how the bath did. Shown above the journal. */
import { useState } from 'preact/hooks';
import { RefusalWords } from '../screens/refusal.js';
import { askFigures } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { serverNowMs } from '../state/state.js';
import { figureLines, nightWindow } from '../words/journal-words.js';
import { datedDay, timeWords } from '../words/times.js';

const NIGHTS_SHOWN = 7;

export function NightFigures(props: { controllerId: string; bathName: string }) {
  const [nightsBack, setNightsBack] = useState(0);
  const nowMs = serverNowMs.value;
  const { fromMs, toMs, isOver } = nightWindow(nowMs, nightsBack);
  // The night that still lasts is asked for anew each minute.
  const { value, refusal } = useAsked(
    () => askFigures(props.controllerId, fromMs, toMs),
    [props.controllerId, fromMs, isOver ? 0 : Math.floor(toMs / 60_000)],
  );
  const figures = value !== null && value.fromMs === fromMs ? value : null;
  return (
    <section class="night-figures" aria-labelledby="figures-title">
      <h2 id="figures-title">A night in figures: {props.bathName}</h2>
      <label>
        Night
        <select value={String(nightsBack)} onChange={(event) => setNightsBack(Number(event.currentTarget.value))}>
          {Array.from({ length: NIGHTS_SHOWN }, (_, back) => {
            const night = nightWindow(nowMs, back);
            return (
              <option key={back} value={String(back)}>
                {night.isOver
                  ? `from ${datedDay(night.fromMs, nowMs)} to ${datedDay(night.toMs, nowMs)}`
                  : `since ${timeWords(night.fromMs, nowMs)}`}
              </option>
            );
          })}
        </select>
      </label>
      {figures === null ? (
        refusal === null && <p class="hint">Counting…</p>
      ) : (
        <dl class="lines">
          {figureLines(figures).map(({ term, words }) => (
            <div key={term + words}>
              <dt>{term}</dt>
              <dd>{words}</dd>
            </div>
          ))}
        </dl>
      )}
      <RefusalWords refusal={refusal} />
    </section>
  );
}
