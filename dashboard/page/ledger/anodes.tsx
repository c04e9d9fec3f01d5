/* The anodes of a bath: what hangs there, and what they lost between two weighings against what the charge should have dissolved. */
import {
  anodeAccount,
  type AnodePeriod,
  type BathLedger,
  gramsWords,
  significant,
} from '@bathkeeper/shared-core/trade';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { ampereHoursWords } from '../words/numbers.js';
import { datedDay, timeWords } from '../words/times.js';

/** Beyond these something else than current dissolves the anodes, or something keeps it from them: common practice, no source. */
const USUAL_SHARE = { min: 0.9, max: 1.1 };
const SHOWN = 4;

export function Anodes({ ledger }: { ledger: BathLedger }) {
  const { grams, weighedAtMs, since, periods } = anodeAccount(ledger.entries, ledger.worked);
  if (grams === null || weighedAtMs === null) return null;
  return (
    <section aria-labelledby="anodes">
      <h2 id="anodes">Anodes</h2>
      <p>
        {gramsWords(Math.max(0, grams), units.value)} hung there,{' '}
        <span class="hint">weighed {timeWords(weighedAtMs, serverNowMs.value)}, with what was changed since.</span>{' '}
        {since !== null &&
          `${ampereHoursWords(since.ampereHours)} dissolved ${gramsWords(since.faradayGrams, units.value)} since, by Faraday’s law: some ${gramsWords(Math.max(0, grams - since.faradayGrams), units.value)} now.`}
      </p>
      {periods.length > 0 && (
        <ul class="anode-periods">
          {periods
            .slice(-SHOWN)
            .reverse()
            .map((one) => (
              <li key={one.toMs}>{periodWords(one)}</li>
            ))}
        </ul>
      )}
    </section>
  );
}

function periodWords(period: AnodePeriod): string {
  const { fromMs, toMs, lostGrams, ampereHours, faradayGrams, efficiencyShare } = period;
  const days = `${datedDay(fromMs, serverNowMs.peek())} to ${datedDay(toMs, serverNowMs.peek())}`;
  if (efficiencyShare === null)
    return `${days}: ${gramsWords(lostGrams, units.value)} lost, and no charge was counted: put the bath under its controller.`;
  const told = `${days}: ${gramsWords(lostGrams, units.value)} lost in ${ampereHoursWords(ampereHours)}; Faraday’s law dissolves ${gramsWords(faradayGrams, units.value)}. Anode efficiency ${significant(efficiencyShare * 100, 3)} %.`;
  if (efficiencyShare > USUAL_SHARE.max)
    return `${told} That is more than the current can dissolve: sludge and chips in the bags, an anode that nobody wrote down, or a weighing to repeat.`;
  if (efficiencyShare < USUAL_SHARE.min)
    return `${told} That is little: a film on the anodes, an insoluble one among them, or a weighing to repeat. Watch the copper.`;
  return told;
}
