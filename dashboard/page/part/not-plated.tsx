/*
 * What is not plated: what a press on the picture takes in, the same from a list, a height, closed cavities; each step can be taken back.
 * Everything here works by keyboard and without a picture.
 */
import { useState } from 'preact/hooks';
import type { Choice, CutOff, RegionSummary, Taken } from '@bathkeeper/shared-core/part';
import { units } from '../state/units.js';
import { areaWords, countWords, pieceWords } from '../words/part-words.js';
import { HeightField } from './height-field.js';
import type { LoadedModel } from './loaded-model.js';
import type { UpAxis } from './picture/view.js';

const kinds: readonly { readonly kind: Choice['kind']; readonly words: string }[] = [
  { kind: 'flat', words: 'a flat face' },
  { kind: 'smooth', words: 'a smooth surface, up to its edges' },
  { kind: 'shell', words: 'all that hangs together' },
];

export function NotPlatedSection(props: {
  model: LoadedModel;
  kind: Choice['kind'];
  changeKind: (kind: Choice['kind']) => void;
  up: UpAxis;
}) {
  const { model, up } = props;
  const { report, shared } = model;
  const notPlated = model.notPlated.value;
  const cavityDm2 = model.measure.value.cavityAreaMm2 / 10_000;
  return (
    <section class="not-plated" aria-labelledby="not-plated-title">
      <h2 id="not-plated-title">What is not plated</h2>
      <fieldset>
        <legend>A press on the picture takes out, or puts back</legend>
        {kinds.map(({ kind, words }) => (
          <label key={kind} class="choice">
            <input
              type="radio"
              name="press-kind"
              checked={props.kind === kind}
              onChange={() => props.changeKind(kind)}
            />
            {words}
          </label>
        ))}
      </fieldset>
      {report.shells.length > 1 && (
        <PieceList
          legend="Or out of this list: what hangs together"
          model={model}
          kind="shell"
          pieces={report.shells}
          taken={shared.value?.shells ?? []}
          left={report.measure.shells - report.shells.length}
          up={up}
        />
      )}
      <PieceList
        legend="Or out of this list: smooth surfaces"
        model={model}
        kind="smooth"
        pieces={report.regions}
        taken={shared.value?.regions ?? []}
        left={report.regionCount - report.regions.length}
        up={up}
      />
      <CutOffFields model={model} up={up} />
      {cavityDm2 > 0 && (
        <label class="choice">
          <input
            type="checkbox"
            checked={!notPlated.areCavitiesPlated}
            onChange={(event) => model.setCavitiesPlated(!event.currentTarget.checked)}
          />
          Closed cavities, {areaWords(cavityDm2, units.value)}: the bath does not reach them
        </label>
      )}
      <button type="button" class="plain" disabled={!model.canUndo.value} onClick={() => model.undo()}>
        Take back the last step
      </button>
    </section>
  );
}

function PieceList(props: {
  legend: string;
  model: LoadedModel;
  kind: 'shell' | 'smooth';
  pieces: readonly RegionSummary[];
  taken: readonly Taken[];
  /** How many there are beyond those listed. */
  left: number;
  up: UpAxis;
}) {
  const { model, kind, pieces, taken } = props;
  const scale = model.factor.value ** 2 / 10_000;
  return (
    <fieldset class="pieces">
      <legend>{props.legend}</legend>
      <ul>
        {pieces.map((piece, k) => {
          const shown = { kind, triangle: piece.triangle };
          const isTaken = taken[k] ?? 'none';
          return (
            <li
              key={piece.triangle}
              onPointerEnter={() => model.show(shown)}
              onPointerLeave={() => model.show(null)}
              onFocusCapture={() => model.show(shown)}
              onBlurCapture={() => model.show(null)}
            >
              <label class="choice">
                <input
                  type="checkbox"
                  checked={isTaken === 'all'}
                  ref={(box) => {
                    if (box) box.indeterminate = isTaken === 'some';
                  }}
                  onChange={() => model.choose({ ...shown, isPlated: isTaken === 'all' })}
                />
                <span>
                  {pieceWords(piece, props.up)}{' '}
                  <span class="unit">{areaWords(piece.areaMm2 * scale, units.value)}</span>
                  {isTaken === 'some' && <span class="unit"> · partly out</span>}
                </span>
              </label>
            </li>
          );
        })}
      </ul>
      {props.left > 0 && <p class="hint">and {countWords(props.left)} smaller ones: press them in the picture.</p>}
    </fieldset>
  );
}

/** A plane across the upright axis, or another one. */
function CutOffFields(props: { model: LoadedModel; up: UpAxis }) {
  const { model, up } = props;
  const { cutOff } = model.notPlated.value;
  const [axis, setAxis] = useState<CutOff['axis']>(cutOff?.axis ?? up);
  const [side, setSide] = useState<CutOff['side']>(cutOff?.side ?? 'above');
  const place = 'xyz'.indexOf(axis);
  const { boxMm } = model.report.measure;
  const [least, most] = [boxMm.min[place]!, boxMm.max[place]!];
  const factor = model.factor.value;
  const set = (change: Partial<CutOff>): void =>
    model.setCutOff({ axis, side, atMm: cutOff?.atMm ?? least + (most - least) * 0.9, ...change });
  return (
    <fieldset class="cut-off">
      <legend class="unseen">Height</legend>
      <label class="choice">
        <input
          type="checkbox"
          checked={cutOff !== undefined}
          onChange={(event) => {
            if (event.currentTarget.checked) set({});
            else model.setCutOff(undefined);
          }}
        />
        Everything beyond a height, cut as a plane cuts it
      </label>
      {cutOff !== undefined && (
        <div class="cut-off-fields">
          <label>
            Along
            <select
              value={axis}
              onChange={(event) => {
                const chosen = event.currentTarget.value as CutOff['axis'];
                const at = 'xyz'.indexOf(chosen);
                setAxis(chosen);
                set({ axis: chosen, atMm: boxMm.min[at]! + (boxMm.max[at]! - boxMm.min[at]!) * 0.9 });
              }}
            >
              {(['x', 'y', 'z'] as const).map((one) => (
                <option key={one} value={one}>
                  {one}
                  {one === up ? ', upright' : ''}
                </option>
              ))}
            </select>
          </label>
          <label>
            Not plated is what lies
            <select
              value={side}
              onChange={(event) => {
                const chosen = event.currentTarget.value as CutOff['side'];
                setSide(chosen);
                set({ side: chosen });
              }}
            >
              <option value="above">above</option>
              <option value="below">below</option>
            </select>
          </label>
          <HeightField
            atMm={(cutOff.atMm - least) * factor}
            mostMm={(most - least) * factor}
            change={(mm) => set({ atMm: least + mm / factor })}
          />
        </div>
      )}
    </fieldset>
  );
}
