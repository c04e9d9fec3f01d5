/* What came of a rehearsal: how it ended in one sentence, the night as a band, charge and thickness against the plan, and what the controller told when. */
import { clockFace, type PlannedAndPlayed, type RehearsalResult, shownWith } from '@bathkeeper/shared-core/trade';
import { told, units } from '../state/units.js';
import { ampereHoursWords } from '../words/numbers.js';
import { spanWords } from '../words/times.js';
import { PlayedBand } from './played-band.js';

export function RehearsalOutcome(props: { parts: string; result: RehearsalResult }) {
  const { result } = props;
  const { chargeAmpereHours, averageThicknessMicrometres, hours } = result;
  return (
    <section class="outcome" aria-labelledby="outcome-title">
      <h2 id="outcome-title">Simulated night: {props.parts}</h2>
      <p class="verdict" role="status" data-missing={result.isAsPlanned ? undefined : ''}>
        {told(result.ended)}
      </p>
      <PlayedBand result={result} label={`The night as it was played. ${told(result.ended)}`} />
      {result.faults.length > 0 && (
        <ul class="cautions" aria-label="What went wrong">
          {result.faults.map(({ words, afterHours }) => (
            <li key={`${words} ${String(afterHours)}`}>
              {told(words)}, after {hoursWords(afterHours)}
            </li>
          ))}
        </ul>
      )}
      <dl class="lines">
        <Compared term="Charge" figures={chargeAmpereHours} words={ampereHoursWords} />
        <Compared
          term={`Average thickness of ${result.metal}`}
          figures={averageThicknessMicrometres}
          words={(value) => shownWith(value, 'µm', units.value, 3)}
        />
        <Compared term="Time with current" figures={hours} words={hoursWords} />
      </dl>
      <h3>What the controller told</h3>
      <ol class="told">
        {result.told.map(({ afterHours, words, isGrave }, index) => (
          <li key={index} data-grave={isGrave || undefined}>
            <span class="told-at">{clockFace(afterHours)}</span> {told(words)}
          </li>
        ))}
      </ol>
      {result.notes.map((words) => (
        <p key={words} class="hint">
          {told(words)}
        </p>
      ))}
    </section>
  );
}

function Compared(props: { term: string; figures: PlannedAndPlayed; words: (value: number) => string }) {
  const { planned, played } = props.figures;
  return (
    <div>
      <dt>{props.term}</dt>
      <dd>
        {props.words(played)} <span class="unit">planned {props.words(planned)}</span>
      </dd>
    </div>
  );
}

const hoursWords = (hours: number): string => spanWords(hours * 3600);
