/* Below the lanes of a chart: the moment that is read, to be moved by keys as well, its values, and the table. */
import type { Series } from '@bathkeeper/shared-core/messages';
import type { UnitSystem } from '@bathkeeper/shared-core/trade';
import { bucketWhen, type Reader, readingLines, tableBuckets } from './reading.js';

/** From the first to the last of what is shown, a step for each point. */
export function MomentSlider(props: {
  series: Series;
  read: number | null;
  words: (index: number) => string;
  moved: (index: number) => void;
}) {
  const last = props.series.startMs.length - 1;
  if (last < 0) return null;
  return (
    <input
      type="range"
      class="moment-slider"
      aria-label="Moment to read"
      min={0}
      max={last}
      step={1}
      value={props.read ?? last}
      aria-valuetext={props.read === null ? 'none chosen' : props.words(props.read)}
      onInput={(event) => props.moved(event.currentTarget.valueAsNumber)}
    />
  );
}

export function Reading(props: {
  series: Series;
  read: number | null;
  isAsked: boolean;
  reader: Reader;
  units: UnitSystem;
}) {
  const { series, read } = props;
  return (
    <div class="chart-reading" aria-live="polite">
      {read === null ? (
        <p class="hint">{hintOf(props.isAsked, series)}</p>
      ) : (
        <>
          <p class="chart-when">{bucketWhen(series, read, props.reader)}</p>
          <dl>
            {readingLines(series, read, props.units).map(({ label, words }) => (
              <div key={label}>
                <dt>{label}</dt>
                <dd>{words}</dd>
              </div>
            ))}
          </dl>
        </>
      )}
    </div>
  );
}

function hintOf(isAsked: boolean, series: Series): string {
  if (!isAsked) return 'Fetching what was logged…';
  if (series.startMs.length === 0) return 'Nothing was logged here.';
  const grain = { records: '', minutes: 'Kept by the minute here. ', 'ten-minutes': '' }[series.source];
  return `${series.bucketMs === 60_000 ? grain : ''}Line: mean. Behind it: least and most. Dashed: the set-point of the recipe, not known of a ramp that was lowered. Dotted: permitted, what a lowering, a derating or the rig's limits left of it. Drag to move, pinch or turn the wheel to look closer, touch to read.`;
}

export function ChartTable(props: { series: Series; reader: Reader; units: UnitSystem }) {
  const { series } = props;
  const rows = tableBuckets(series);
  if (rows.length === 0) return null;
  const labels = readingLines(series, rows[0]!, props.units)
    .slice(0, 9)
    .map(({ label }) => label);
  return (
    <details class="fold band-table">
      <summary>What is seen as a table</summary>
      <div class="table-frame">
        <table>
          <thead>
            <tr>
              <th scope="col">Time</th>
              {labels.map((label) => (
                <th scope="col" key={label}>
                  {label}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((index) => (
              <tr key={series.startMs[index]}>
                <th scope="row">{bucketWhen(series, index, props.reader)}</th>
                {readingLines(series, index, props.units)
                  .slice(0, labels.length)
                  .map(({ label, words }) => (
                    <td key={label}>{words}</td>
                  ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
