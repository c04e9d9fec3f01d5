/* What would bring the bath back: what is to be corrected is ticked, the amounts follow, and each can be written down once it was done. */
import { useState } from 'preact/hooks';
import {
  type Additive,
  type Analyte,
  analyteKeys,
  analytes,
  type BathAccount,
  type BathProfile,
  type Composition,
  correction,
  estimatedComposition,
  gramsWords,
  litresWords,
  millilitresWords,
  shownWith,
  usualRangeOf,
} from '@bathkeeper/shared-core/trade';
import { Tick } from '../forms/tick.js';
import { typedTexts } from '../forms/typed-figure.js';
import { units } from '../state/units.js';
import type { Act } from './entry-fields.js';
import { asTyped, type Typed } from './field-spec.js';
import { strengthWords } from './entry-words.js';
import { MixingCare, WasteCare } from './care.js';

export function Corrections(props: {
  account: BathAccount;
  profile: BathProfile;
  begin: (act: Act, typed: Typed) => void;
}) {
  const { account, profile } = props;
  const { madeUp, litres } = account;
  const found = estimatedComposition(account);
  const [ticked, setTicked] = useState<Partial<Record<Analyte, boolean>>>({});
  if (madeUp === null || litres === null || found === undefined) return null;
  const isOutside = (key: Analyte): boolean => {
    const { min, max } = usualRangeOf(profile, key);
    return found[key] < min || found[key] > max;
  };
  const of = analyteKeys.filter((key) => ticked[key] ?? isOutside(key));
  return (
    <section aria-labelledby="corrections">
      <h2 id="corrections">Bring it back</h2>
      <p class="hint">
        To what it was made up to. Ticked is what lies outside the usual; what you leave out follows the volume.
      </p>
      <div class="ticks">
        {analyteKeys.map((key) => (
          <Tick
            key={key}
            words={`${analytes[key].name}, to ${shownWith(madeUp.composition[key], analytes[key].unit, units.value, 3)}`}
            isTicked={of.includes(key)}
            onChange={(isTicked) => setTicked((before) => ({ ...before, [key]: isTicked }))}
          />
        ))}
      </div>
      {of.length === 0 ? (
        <p>Nothing lies outside the usual: nothing to correct.</p>
      ) : (
        <Amounts litres={litres} found={found} madeUp={madeUp} of={of} begin={props.begin} />
      )}
    </section>
  );
}

function Amounts(props: {
  litres: number;
  found: Composition;
  madeUp: NonNullable<BathAccount['madeUp']>;
  of: readonly Analyte[];
  begin: (act: Act, typed: Typed) => void;
}) {
  const { acid, saltPurityShare, composition: aimedAt } = props.madeUp;
  const done = correction({ litres: props.litres, found: props.found, aimedAt, of: props.of, saltPurityShare, acid });
  const isDiluted = done.replacedLitres > 0.005 * props.litres;
  const additions: readonly { key: Additive; words: string; amount: number; typed: Typed }[] = [
    {
      key: 'copper-sulphate',
      words: `${gramsWords(done.saltGrams, units.value)} of ${strengthWords(saltPurityShare)}copper sulphate`,
      amount: done.saltGrams,
      typed: typedTexts({ amount: asTyped(done.saltGrams), purity: String(saltPurityShare * 100) }),
    },
    {
      key: 'sulphuric-acid',
      words: `${millilitresWords(done.acidMillilitres, units.value)} of ${strengthWords(acid.strengthShare)}sulphuric acid`,
      amount: done.acidMillilitres,
      typed: typedTexts({
        amount: asTyped(done.acidMillilitres),
        acidStrength: String(acid.strengthShare * 100),
        acidDensity: asTyped(acid.densityGramsPerMl),
      }),
    },
    {
      key: 'sodium-chloride',
      words: `${gramsWords(done.sodiumChlorideGrams, units.value)} of sodium chloride`,
      amount: done.sodiumChlorideGrams,
      typed: typedTexts({ amount: asTyped(done.sodiumChlorideGrams) }),
    },
  ];
  const wanted = additions.filter(({ amount }) => amount > 0.05);
  return (
    <>
      {!isDiluted && wanted.length === 0 && <p>It is where it was made up to: nothing to correct.</p>}
      <ol class="correction-steps">
        {isDiluted && (
          <li>
            <p>
              Draw off {litresWords(done.replacedLitres, units.value)} of the bath and fill up with water to the same
              mark: something is too high, and only water lowers it.
            </p>
            <WasteCare />
            <button
              type="button"
              class="quiet"
              onClick={() =>
                props.begin('waste-collected', typedTexts({ what: 'bath', amount: asTyped(done.replacedLitres) }))
              }
            >
              I drew it off: write it down
            </button>
          </li>
        )}
        {wanted.map(({ key, words, typed }) => (
          <li key={key}>
            <p>Add {words}.</p>
            <button
              type="button"
              class="quiet"
              aria-label={`Write down: ${words}`}
              onClick={() => props.begin('addition', { ...typedTexts({ of: key }), ...typed })}
            >
              I added it: write it down
            </button>
          </li>
        ))}
      </ol>
      {(isDiluted || wanted.length > 0) && (
        <>
          <p class="hint">
            Then it stands at about {litresWords(done.litres, units.value)}; the additions’ own volume is counted in.
            Add half, stir, analyse again: an analysis is seldom better than some per cent.
          </p>
          {wanted.length > 0 && <MixingCare />}
        </>
      )}
    </>
  );
}
