/*
 * What of a run is taken away from the page: the sheet to keep with the piece, and all that was logged as a file for another program. Part of a run's room. A file
 * that cannot be written is refused in words here, and never saved as if it were one.
 */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import type { RunKey } from '@bathkeeper/shared-core/trade';
import { download } from '../forms/download.js';
import { RefusalWords } from '../screens/refusal.js';
import { askRunFile, type RunFileFormat, sheetAddress } from '../state/logbook-api.js';
import { paper, type Paper } from '../state/paper.js';
import { units } from '../state/units.js';
import { ownZone } from '../words/zone.js';

const formats: readonly (readonly [format: RunFileFormat, words: string])[] = [
  ['zip', 'Tables (CSV in a ZIP)'],
  ['json', 'JSON'],
  ['parquet', 'Parquet'],
];

export function RunFiles({ runKey }: { runKey: RunKey }) {
  return (
    <>
      <SheetLinks runKey={runKey} />
      <Exports runKey={runKey} />
    </>
  );
}

function SheetLinks({ runKey }: { runKey: RunKey }) {
  const asked = { paper: paper.value, units: units.value, zone: ownZone() };
  return (
    <section>
      <h2>Run sheet</h2>
      <p class="hint">One page to keep with the piece. What has no room on it is named there.</p>
      <label class="field">
        <span>Paper</span>
        <select
          value={paper.value}
          onChange={(event) => {
            paper.value = event.currentTarget.value as Paper;
          }}
        >
          <option value="a4">A4</option>
          <option value="letter">Letter</option>
        </select>
      </label>
      <div class="row">
        <a class="target" href={sheetAddress(runKey, 'pdf', asked)} target="_blank" rel="noopener">
          Sheet as PDF
        </a>
        <a class="target" href={sheetAddress(runKey, 'html', asked)} target="_blank" rel="noopener">
          Sheet as a page to print
        </a>
      </div>
    </section>
  );
}

function Exports({ runKey }: { runKey: RunKey }) {
  const [under, setUnder] = useState<RunFileFormat | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const take = async (format: RunFileFormat): Promise<void> => {
    setUnder(format);
    const answer = await askRunFile(runKey, format);
    setUnder(null);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) download(answer.value.name, answer.value.file);
  };
  return (
    <section>
      <h2>All that was logged, as a file</h2>
      <p class="hint">
        Every record and event that the controller told, to some minutes after the end, its recipe, alarms with who
        acknowledged them and when, notes and weighings; units in the headings and the meaning of each column beside
        them. Each of the three holds the same and can be brought in again. Of photographs only the words under them are
        in it.
      </p>
      <div class="row">
        {formats.map(([format, words]) => (
          <button key={format} type="button" class="quiet" disabled={under !== null} onClick={() => void take(format)}>
            {under === format ? 'Fetching…' : words}
          </button>
        ))}
      </div>
      <RefusalWords refusal={refusal} />
    </section>
  );
}
