/*
 * The key under the section: every ringed place, everything that is wrong there, and what to check first. The worst comes first.
 * Shown on the bath page while something is ringed; what a start wants stands with the waiting recipe instead.
 */
import { told } from '../state/units.js';
import { placeName } from '../words/conditions.js';
import { raised } from '../words/sentence.js';
import type { Mark } from './marks.js';

export function SectionKey(props: { marks: readonly Mark[] }) {
  const wrong = props.marks.filter(({ kind }) => kind === 'wrong');
  if (wrong.length === 0) return null;
  return (
    <section class="section-key" aria-labelledby="key-title">
      <h2 id="key-title">Ringed in the section</h2>
      <dl>
        {wrong.map(({ place, found }) => (
          <div key={place}>
            <dt>{placeName[place]}</dt>
            {found.map(({ clause, checkFirst }) => (
              <dd key={clause}>
                <strong>{raised(clause)}.</strong> {told(checkFirst)}
              </dd>
            ))}
          </div>
        ))}
      </dl>
    </section>
  );
}
