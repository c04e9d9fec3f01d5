/* Brings a run in from a file that this or another dashboard wrote, and tells what came of it: what stands in the logbook now, or which line was at fault and that nothing changed. */
import { useState } from 'preact/hooks';
import { type ImportedRun, RUN_FILE_BYTES_MAX, tooLargeWords } from '@bathkeeper/shared-core/messages';
import { LastRow } from '../forms/last-row.js';
import { useSending } from '../forms/sending.js';
import { WhoField } from '../forms/who-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { importRun } from '../state/logbook-api.js';
import { runAddress } from '../state/route.js';

export function ImportRun({ brought }: { brought: () => void }) {
  const [isOpen, setOpen] = useState(false);
  const [kept, setKept] = useState<ImportedRun | null>(null);
  const done = (run: ImportedRun): void => {
    setKept(run);
    setOpen(false);
    brought();
  };
  return (
    <section>
      {kept !== null && <Brought run={kept} />}
      {isOpen ? (
        <ImportForm done={done} leave={() => setOpen(false)} />
      ) : (
        <button
          type="button"
          class="quiet"
          onClick={() => {
            setKept(null);
            setOpen(true);
          }}
        >
          Bring in a run from a file…
        </button>
      )}
    </section>
  );
}

function Brought({ run }: { run: ImportedRun }) {
  const { original, recordCount, eventCount, alarmCount, entryCount, partName } = run;
  return (
    <p role="status">
      {run.fileName} was brought in: run {run.run} of {original.controllerId}
      {partName === null || partName === '' ? '' : `, ${partName}`}, with {recordCount} records, {eventCount} events,{' '}
      {alarmCount === 1 ? '1 alarm' : `${String(alarmCount)} alarms`} and{' '}
      {entryCount === 1 ? '1 entry' : `${String(entryCount)} entries`} by people. <a href={runAddress(run)}>Open it</a>.
    </p>
  );
}

function ImportForm(props: { done: (run: ImportedRun) => void; leave: () => void }) {
  const [file, setFile] = useState<File | undefined>(undefined);
  const sending = useSending();
  const isTooLarge = file !== undefined && file.size > RUN_FILE_BYTES_MAX;
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const answer = await sending.send(isTooLarge ? undefined : file, importRun);
    if (answer?.ok === true) props.done(answer.value);
  };
  const isMissing = sending.isAsked && file === undefined;
  return (
    <form class="narrow-form" noValidate onSubmit={(event) => void send(event)} aria-label="Bring in a run from a file">
      <p class="hint">
        A file that this or another dashboard wrote of a run (ZIP, JSON or Parquet). It is read and checked whole before
        anything is kept, and stands beside your own runs as imported. Its alarms are told in its record; they call
        nobody.
      </p>
      <label class="field">
        <span>File</span>
        <input
          type="file"
          accept=".zip,.json,.parquet"
          aria-invalid={isMissing || isTooLarge ? 'true' : undefined}
          onChange={(event) => setFile(event.currentTarget.files?.[0])}
        />
        {isMissing && <span class="field-problem">Choose a file first.</span>}
        {isTooLarge && <span class="field-problem">{tooLargeWords('This file', file.size)}</span>}
      </label>
      <WhoField isAsked={sending.isAsked} />
      <LastRow
        send={sending.isUnderWay ? 'Reading it…' : 'Bring it in'}
        isDull={sending.isUnderWay}
        onLeave={props.leave}
      />
      <RefusalWords refusal={sending.refusal} />
    </form>
  );
}
