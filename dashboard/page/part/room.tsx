/*
 * The part: a model is dropped here, seen, measured, and told what of it is not plated; several parts and pieces add up to what hangs in
 * the bath. Loaded when somebody comes here, and needs no bath and no controller. The room Plan begins with what hangs here.
 */
import { useEffect, useState } from 'preact/hooks';
import type { Choice } from '@bathkeeper/shared-core/part';
import { units } from '../state/units.js';
import { areaWords } from '../words/part-words.js';
import { AddPart, takeFiles } from './add-part.js';
import { type BathPart, chosenPart, load, parts } from './bath-parts.js';
import { CrowdingSection, firstShown } from './crowding-key.js';
import { ModelFigures } from './figures.js';
import type { LoadedModel } from './loaded-model.js';
import { NotPlatedSection } from './not-plated.js';
import { PartsList } from './parts-list.js';
import { ModelPicture } from './picture.js';
import type { Shown } from './picture/asked.js';

export function PartRoom() {
  const [isOver, setOver] = useState(false);
  const chosen = chosenPart.value;
  const isFirst = parts.value.length === 0;
  return (
    <main
      class="part-room"
      data-over={isOver || undefined}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={(event) => {
        if (!event.currentTarget.contains(event.relatedTarget as Node | null)) setOver(false);
      }}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        takeFiles([...(event.dataTransfer?.files ?? [])]);
      }}
    >
      <h1>
        {isFirst
          ? 'Which part goes into the bath?'
          : `The part: ${areaWords(load.value.areaDm2, units.value)} to plate`}
      </h1>
      {isFirst && <AddPart isFirst />}
      {chosen !== null && <ChosenPart key={chosen.id} part={chosen} />}
      {!isFirst && (
        <>
          <PartsList />
          <section class="another" aria-labelledby="another-title">
            <h2 id="another-title">Another part in the same bath</h2>
            <AddPart isFirst={false} />
          </section>
        </>
      )}
      {!isFirst && (
        <p class="to-plan">
          <a class="plain" href="#plan">
            What does tonight need? The plan
          </a>
        </p>
      )}
    </main>
  );
}

function ChosenPart(props: { part: BathPart }) {
  const { source, name } = props.part;
  if (source.kind !== 'model') return null;
  return <ChosenModel name={name.value} model={source.model} />;
}

function ChosenModel(props: { name: string; model: LoadedModel }) {
  const { name, model } = props;
  const [kind, setKind] = useState<Choice['kind']>('smooth');
  const [shown, setShown] = useState<Shown>(firstShown);
  const up = model.up.value;
  const fault = model.fault.value;
  // Everything at once would hold the page up for a tenth of a second on a slow device.
  const turn = useTurns(2);
  return (
    <div class="chosen-model">
      <div class="part-look">
        {turn >= 1 ? (
          <ModelPicture
            name={name}
            model={model}
            shown={shown}
            kind={kind}
            up={up}
            changeUp={(axis) => (model.up.value = axis)}
          />
        ) : (
          <div class="part-canvas" />
        )}
        <p class="surface-key">
          <span>
            <span class="swatch plated" aria-hidden="true" /> copper will grow here
          </span>
          <span>
            <span class="swatch masked" aria-hidden="true" /> not plated
          </span>
        </p>
      </div>
      <div class="part-words">
        {fault !== null && (
          <p class="caution" role="alert">
            {fault}
          </p>
        )}
        <ModelFigures model={model} />
        {turn >= 2 && (
          <>
            <NotPlatedSection model={model} kind={kind} changeKind={setKind} up={up} />
            <CrowdingSection model={model} shown={shown} change={setShown} />
          </>
        )}
      </div>
    </div>
  );
}

/** Counts up to `last`, one after each time that the page has been painted. */
function useTurns(last: number): number {
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    if (turn === last) return;
    const timer = setTimeout(() => setTurn(turn + 1));
    return () => clearTimeout(timer);
  }, [turn, last]);
  return turn;
}
