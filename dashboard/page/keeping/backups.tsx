/* Backups: the newest one, a button that makes another, and those that lie on this computer, to be taken elsewhere. Part of the room Keeping. */
import { useState } from 'preact/hooks';
import type { BackupsView, KeepingView, KeptBackup, Refusal } from '@bathkeeper/shared-core/messages';
import { AskedTwice } from '../forms/asked-twice.js';
import { RefusalWords } from '../screens/refusal.js';
import type { Answer } from '../state/api.js';
import { backupAddress, backUpStore, deleteBackup } from '../state/keeping-api.js';
import { serverNowMs } from '../state/state.js';
import { newestBackupWords, sizeWords } from '../words/keeping-words.js';
import { timeWords } from '../words/times.js';

export function Backups(props: { backups: BackupsView; onAnswered: (view: KeepingView) => void }) {
  const { backups } = props;
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const asked = async (answer: Promise<Answer<KeepingView>>): Promise<void> => {
    setBusy(true);
    const told = await answer;
    setBusy(false);
    setRefusal(told.ok ? null : told.refusal);
    if (told.ok) props.onAnswered(told.value);
  };
  return (
    <section aria-labelledby="backups-title">
      <h2 id="backups-title">Backups</h2>
      <p role="status">{newestBackupWords(backups, serverNowMs.value)}</p>
      {backups.problem !== null && (
        <p class="caution" role="alert">
          {backups.problem}
        </p>
      )}
      <button
        type="button"
        class="plain"
        disabled={isBusy || backups.isUnderWay}
        onClick={() => void asked(backUpStore())}
      >
        Back up now
      </button>
      {backups.kept.length > 0 && (
        <>
          <h3>On this computer</h3>
          <p class="hint">
            They lie in <code>{backups.folder}</code>. What lies beside the store is lost with it: download one to
            another computer now and then. Who has it can read everything in the store.
          </p>
          <ul class="kept-backups">
            {backups.kept.map((one) => (
              <Kept key={one.name} backup={one} isBusy={isBusy} onDelete={() => void asked(deleteBackup(one.name))} />
            ))}
          </ul>
        </>
      )}
      <RefusalWords refusal={refusal} />
      <details class="fold">
        <summary>How one is put in the place of the store</summary>
        <p>
          Stop the dashboard, then <code>npm run restore -- BACKUP</code>, and start. The backup is read first; the
          store that was there is kept beside it. Secrets are not in a backup: in another folder controllers are paired
          again.
        </p>
      </details>
    </section>
  );
}

function Kept(props: { backup: KeptBackup; isBusy: boolean; onDelete: () => void }) {
  const { name, madeAtMs, bytes } = props.backup;
  const when = timeWords(madeAtMs, serverNowMs.value);
  return (
    <li>
      <span>
        {when}, {sizeWords(bytes)}, read back
      </span>
      <div class="row">
        <a class="target" href={backupAddress(name)} download={name} aria-label={`Download the backup of ${when}`}>
          Download
        </a>
        <AskedTwice
          words="Delete"
          label={`Delete the backup of ${when}`}
          question={`Delete the backup of ${when}? It cannot be brought back.`}
          yes="Delete the backup"
          isBusy={props.isBusy}
          act={props.onDelete}
        />
      </div>
    </li>
  );
}
