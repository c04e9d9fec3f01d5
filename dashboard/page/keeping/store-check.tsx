/* The store's check: its newest result, what to do where it is damaged, and a button that begins another. Part of the room Keeping. */
import { useState } from 'preact/hooks';
import type { KeepingView, Refusal, StoreCheckView } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import { checkStore } from '../state/keeping-api.js';
import { serverNowMs } from '../state/state.js';
import { checkWords } from '../words/keeping-words.js';

export function StoreCheck(props: { check: StoreCheckView; onAnswered: (view: KeepingView) => void }) {
  const { check } = props;
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const begin = async (): Promise<void> => {
    const answer = await checkStore();
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) props.onAnswered(answer.value);
  };
  return (
    <section aria-labelledby="check-title">
      <h2 id="check-title">Is it sound?</h2>
      <p>
        The store is one file with everything that was measured, called and written down. All of it is read after each
        start.
      </p>
      <p role="status" class={check.state === 'damaged' ? 'caution' : undefined}>
        {checkWords(check, serverNowMs.value)}
      </p>
      {check.state === 'damaged' && <WhatToDo />}
      <button
        type="button"
        class="quiet"
        aria-label="Check the store now"
        disabled={check.state === 'under-way'}
        onClick={() => void begin()}
      >
        Check now
      </button>
      <RefusalWords refusal={refusal} />
    </section>
  );
}

function WhatToDo() {
  return (
    <ol>
      <li>Let a run that is under way come to its end: it is watched, and the controller keeps its own records.</li>
      <li>
        Stop the dashboard, then put the newest backup in the place of the store: <code>npm run restore -- BACKUP</code>{' '}
        checks it first, and keeps the damaged store beside it.
      </li>
      <li>Look whether the disk fails, before you trust it again.</li>
    </ol>
  );
}
