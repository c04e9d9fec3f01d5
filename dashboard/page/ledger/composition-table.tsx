/* What is in the bath, as far as analyses and additions tell: found, estimated, aimed at, usual, and where it drifts. */
import {
  type Analyte,
  analyteKeys,
  analytes,
  type BathAccount,
  type BathProfile,
  type Held,
  type LedgerEntry,
  shownWith,
  trendPerDay,
  type UsualRange,
  usualRangeOf,
} from '@bathkeeper/shared-core/trade';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { timeWords } from '../words/times.js';
import { AnalysisChart } from './analysis-chart.js';
import { concentrationWords } from './entry-words.js';
import { findingsOf } from './findings.js';

export function CompositionTable(props: {
  account: BathAccount;
  entries: readonly LedgerEntry[];
  profile: BathProfile;
}) {
  const { account, entries, profile } = props;
  if (account.madeUp === null) return null;
  return (
    <section aria-labelledby="composition">
      <h2 id="composition">What is in it</h2>
      {analyteKeys.map((key) => (
        <OneAnalyte
          key={key}
          analyte={key}
          held={account.held[key]}
          aimedAt={account.madeUp?.composition[key] ?? null}
          usual={usualRangeOf(profile, key)}
          entries={entries}
        />
      ))}
    </section>
  );
}

function OneAnalyte(props: {
  analyte: Analyte;
  held: Held | undefined;
  aimedAt: number | null;
  usual: UsualRange;
  entries: readonly LedgerEntry[];
}) {
  const { analyte, held, aimedAt, usual } = props;
  if (held === undefined) return null;
  const { unit, name } = analytes[analyte];
  const nowMs = serverNowMs.value;
  const findings = findingsOf(props.entries, analyte);
  const perDay = trendPerDay(findings);
  const shown = (value: number): string => shownWith(value, unit, units.value, 3);
  return (
    <div class="analyte" data-state={stateOf(held.estimated, usual)}>
      <h3>{name}</h3>
      <p class="analyte-now">
        {concentrationWords(analyte, held.estimated, units.value)}{' '}
        <strong>{stateWords[stateOf(held.estimated, usual)]}</strong>
      </p>
      <p class="hint">
        {held.from === 'analysis'
          ? `Found ${shown(held.found)}`
          : `Made up to ${shown(held.found)}, not analysed since`}{' '}
        {timeWords(held.atMs, nowMs)}
        {held.isChangedSince && '; what was added since is counted in: analyse again'}. Aimed at{' '}
        {shown(aimedAt ?? usual.usual)}, usual {shown(usual.min)} to {shown(usual.max)} ({usual.source}).
        {perDay !== undefined && trendWords(perDay, findings.length, shown)}
      </p>
      {findings.length >= 2 && <AnalysisChart name={name} unit={unit} findings={findings} usual={usual} />}
    </div>
  );
}

/** Example: " It falls by 13 g/L in 30 days (line through 3 findings)." */
function trendWords(perDay: number, findings: number, shown: (value: number) => string): string {
  return ` It ${perDay < 0 ? 'falls' : 'rises'} by ${shown(Math.abs(perDay * 30))} in 30 days (line through ${String(findings)} findings).`;
}

type State = 'low' | 'usual' | 'high';
const stateWords: Readonly<Record<State, string>> = { low: 'low', usual: 'within the usual', high: 'high' };

function stateOf(value: number, { min, max }: UsualRange): State {
  return value < min ? 'low' : value > max ? 'high' : 'usual';
}
