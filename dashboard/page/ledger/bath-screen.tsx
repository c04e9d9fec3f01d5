/* One bath's ledger: how it stands, what would bring it back, a form to write into it, and everything that was written. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import {
  bathAccount,
  type BathAccount,
  type BathLedger,
  bathProfile,
  COMPARED_HOURS,
  EVAPORATION_FACTOR,
  litresWords,
  shownWith,
  waterLoss,
  type WaterLoss,
} from '@bathkeeper/shared-core/trade';
import { RefusalWords } from '../screens/refusal.js';
import { useAsked } from '../state/asked.js';
import { askLedger } from '../state/ledger-api.js';
import { ledgerAddress } from '../state/route.js';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { spanWords, timeWords } from '../words/times.js';
import { AnalysisChart } from './analysis-chart.js';
import { Anodes } from './anodes.js';
import { CareReminders } from './care-due.js';
import { Corrections } from './corrections.js';
import { CompositionTable } from './composition-table.js';
import { Entries } from './entries.js';
import type { Act } from './entry-fields.js';
import { EntryForm } from './entry-form.js';
import { levelsOf } from './findings.js';
import type { Typed } from './field-spec.js';
import { TestPanels } from './test-panels.js';
import { WasteStanding } from './waste.js';
import { WorkedCharge } from './worked.js';

/** What the form shall begin with, and a number that moves with each wish. */
export interface Wish {
  readonly act: Act;
  readonly typed: Typed;
  readonly turn: number;
}

/** Of a bound that is good to a factor of two. */
const BOUND_DIGITS = 2;

export function BathLedgerScreen(props: { bathId: number }) {
  const { value: ledger, refusal, again } = useAsked(() => askLedger(props.bathId), [props.bathId]);
  if (ledger === null) {
    return (
      <main class="leaf ledger">
        <h1>Ledger</h1>
        {refusal === null ? <p class="hint">Looking…</p> : <RefusalWords refusal={refusal} />}
        <BackToBaths />
      </main>
    );
  }
  return <Ledger ledger={ledger} again={again} />;
}

function Ledger({ ledger, again }: { ledger: BathLedger; again: () => void }) {
  const { bath, entries } = ledger;
  const account = bathAccount(entries);
  const [wish, setWish] = useState<Wish>({ act: account.madeUp === null ? 'made-up' : 'addition', typed: {}, turn: 0 });
  const profile = bathProfile(bath.profile);
  if (profile === undefined) return <p class="waiting">This page does not know the bath “{bath.profile}”.</p>;
  const begin = (act: Act, typed: Typed): void => {
    setWish(({ turn }) => ({ act, typed, turn: turn + 1 }));
    toTheForm();
  };
  return (
    <main class="ledger-room">
      <header>
        <h1>{bath.name}</h1>
        <p class="hint">{profile.name}</p>
      </header>
      {bath.isSimulated && (
        <p class="caution">Simulated: this ledger belongs to the virtual bath. Nobody weighed, dosed or analysed it.</p>
      )}
      <button type="button" class="quiet to-the-form" onClick={toTheForm}>
        Write into it
      </button>
      <div class="ledger-sides">
        <div>
          <Standing account={account} entries={entries} />
          <WorkedCharge ledger={ledger} begin={begin} />
          <CareReminders ledger={ledger} begin={begin} />
          <CompositionTable account={account} entries={entries} profile={profile} />
          <Corrections account={account} profile={profile} begin={begin} />
          <Folded words="Tests, anodes, waste">
            <TestPanels entries={entries} profile={profile} />
            <Anodes ledger={ledger} />
            <WasteStanding entries={entries} begin={begin} />
          </Folded>
        </div>
        <div>
          <EntryForm
            key={wish.turn}
            bathId={bath.bathId}
            profile={profile}
            account={account}
            begun={wish}
            written={again}
          />
        </div>
      </div>
      <Entries bathId={bath.bathId} entries={entries} changed={again} />
      <BackToBaths />
    </main>
  );
}

/** Open where there is room; on a phone the page is long enough. */
function Folded(props: { words: string; children: ComponentChildren }) {
  const [isOpen] = useState(() => matchMedia('(min-width: 48rem)').matches);
  return (
    <details class="fold" open={isOpen}>
      <summary>{props.words}</summary>
      {props.children}
    </details>
  );
}

function toTheForm(): void {
  document.getElementById('write')?.scrollIntoView({ block: 'start' });
}

function Standing({ account, entries }: { account: BathAccount; entries: BathLedger['entries'] }) {
  const { litres, litresAtMs, litresFrom, losses } = account;
  if (litres === null || litresAtMs === null)
    return <p>Nothing is known of this bath yet. Write down how it was made up, and what it is comes of it.</p>;
  const nowMs = serverNowMs.value;
  const levels = levelsOf(entries);
  const loss = losses.at(-1);
  return (
    <>
      <p class="ledger-volume">
        {litresWords(litres, units.value)}{' '}
        <span class="hint">
          {litresFrom === 'make-up' ? 'made up' : 'read'} {timeWords(litresAtMs, nowMs)}, with what was added and drawn
          off since
        </span>
      </p>
      {levels.length >= 3 && <AnalysisChart name="Level" unit="L" findings={levels} />}
      {loss !== undefined && <LossWords loss={waterLoss(loss, entries)} />}
    </>
  );
}

function LossWords({ loss }: { loss: WaterLoss }) {
  const seconds = (loss.toMs - loss.fromMs) / 1000;
  const since =
    loss.from === 'level'
      ? 'Between the last two levels'
      : 'From the volume that was made up, which nobody read at the mark, to the first level';
  return (
    <p>
      {since} {litresWords(loss.litres, units.value)} went in {spanWords(seconds)}
      {seconds >= 86_400 && `, ${litresWords((loss.litres / seconds) * 86_400, units.value)} a day`}.{' '}
      {loss.isCompared && 'Evaporation takes some, and parts carry some out. '}
      {expectedWords(loss)} Top up with deionised water.
    </p>
  );
}

/** Example: "Evaporation was to take between 0.6 L and 2.4 L." */
function expectedWords({ isCompared, expectedLitres, isMore, isLess }: WaterLoss): string {
  if (!isCompared)
    return `Less than ${String(COMPARED_HOURS)} h say nothing of evaporation. Read the mark again: if it goes on falling, look for a leak.`;
  if (expectedLitres === null) return 'Write down how the tank stands open, and what was to be expected stands here.';
  const bound = (litres: number): string => shownWith(litres, 'L', units.value, BOUND_DIGITS);
  const told = `Evaporation was to take between ${bound(expectedLitres / EVAPORATION_FACTOR)} and ${bound(expectedLitres * EVAPORATION_FACTOR)}.`;
  if (isMore) return `${told} It was more: look for a leak, for what parts carry out, for what nobody wrote down.`;
  return isLess ? `${told} It was less: a cover, a cooler bath, or a top-up that nobody wrote down.` : told;
}

function BackToBaths() {
  return (
    <p>
      <a class="target" href={ledgerAddress(null)}>
        All baths
      </a>
    </p>
  );
}
