/* A part without a model: its area from a simple shape or typed in. Formulas and refusals are the core's. */
import { useState } from 'preact/hooks';
import {
  measureShape,
  shapeDimensions,
  type ShapeKind,
  type ShapeReading,
  shapeSurfaceWords,
  type SimpleShape,
} from '@bathkeeper/shared-core/part';
import { inWords, type Unit, unitName } from '@bathkeeper/shared-core/trade';
import { TypedField } from '../forms/typed-field.js';
import { metricValue, nothingTyped, textIn, type TypedFigure, typedIn } from '../forms/typed-figure.js';
import { units } from '../state/units.js';
import { areaWords, shapeWords, volumeWords } from '../words/part-words.js';
import { addPart } from './bath-parts.js';

type Way = ShapeKind | 'typed';
type Typed = Readonly<Record<string, TypedFigure>>;
/** A typed area has no volume. */
type Read = ShapeReading | { readonly measure: { readonly areaDm2: number; readonly volumeCm3?: undefined } };

export function WithoutModel() {
  const [way, setWay] = useState<Way>('plate');
  const [typed, setTyped] = useState<Typed>({});
  const [wasAsked, setAsked] = useState(false);
  // What is wrong is told all at once under the button, when it was pressed.
  const field = (name: string, words: string, unit: Unit) => ({
    id: name,
    words,
    unit: unitName(unit, units.value),
    typed: textIn(typed[name] ?? nothingTyped, unit, units.value),
    problem: undefined,
    change: (text: string) => setTyped((before) => ({ ...before, [name]: typedIn(units.value, text) })),
  });
  const read = way === 'typed' ? readArea(typed.areaDm2) : readShape(way, typed);
  const add = (event: Event): void => {
    event.preventDefault();
    setAsked(true);
    if ('refusals' in read) return;
    const { areaDm2, volumeCm3 } = read.measure;
    const shape = way === 'typed' ? undefined : shapeOf(way, typed);
    addPart(way === 'typed' ? 'Part' : shapeWords[way], { kind: 'simple', shape, areaDm2, volumeCm3 });
    setTyped({});
    setAsked(false);
  };
  return (
    <details class="fold without-model">
      <summary>Without a model</summary>
      <form onSubmit={add} noValidate>
        <label>
          It is
          <select value={way} onChange={(event) => setWay(event.currentTarget.value as Way)}>
            {(Object.keys(shapeDimensions) as ShapeKind[]).map((kind) => (
              <option key={kind} value={kind}>
                {shapeWords[kind].toLowerCase()}
              </option>
            ))}
            <option value="typed">something whose area I know</option>
          </select>
        </label>
        {way === 'typed' ? (
          <TypedField {...field('areaDm2', 'Surface area', 'dm²')} />
        ) : (
          <>
            <p class="hint">Counted is: {shapeSurfaceWords[way].toLowerCase()}</p>
            <div class="shape-fields">
              {shapeDimensions[way].map(({ name, words }) => (
                <TypedField key={name} {...field(name, words, 'mm')} />
              ))}
            </div>
          </>
        )}
        <div class="row">
          <button type="submit" class="plain">
            Add it
          </button>
          <p class="shape-measure" aria-live="polite">
            {'measure' in read && (
              <>
                <strong>{areaWords(read.measure.areaDm2, units.value)}</strong>
                {read.measure.volumeCm3 !== undefined && (
                  <span class="unit"> and {volumeWords(read.measure.volumeCm3, units.value)}</span>
                )}
              </>
            )}
          </p>
        </div>
        <div role="alert" class="refusal">
          {wasAsked && 'refusals' in read && (
            <ul>
              {read.refusals.map((words) => (
                <li key={words}>{inWords(words, units.value)}</li>
              ))}
            </ul>
          )}
        </div>
      </form>
    </details>
  );
}

function shapeOf(kind: ShapeKind, typed: Typed): SimpleShape {
  const lengths = shapeDimensions[kind].map(({ name }) => [name, metricValue(typed[name] ?? nothingTyped, 'mm')]);
  return { kind, ...Object.fromEntries(lengths) } as SimpleShape;
}

/** Every length that cannot be read is named with what was typed. */
function readShape(kind: ShapeKind, typed: Typed): Read {
  const refusals = shapeDimensions[kind].flatMap(({ name, words }) =>
    metricValue(typed[name] ?? nothingTyped, 'mm') === undefined ? [wanted(words, 'mm', typed[name])] : [],
  );
  return refusals.length > 0 ? { refusals } : measureShape(shapeOf(kind, typed));
}

function readArea(typed: TypedFigure = nothingTyped): Read {
  const areaDm2 = metricValue(typed, 'dm²');
  if (areaDm2 === undefined || areaDm2 <= 0) return { refusals: [wanted('Surface area', 'dm²', typed)] };
  return { measure: { areaDm2 } };
}

function wanted(words: string, unit: Unit, { text }: TypedFigure = nothingTyped): string {
  const said = text.trim() === '' ? 'nothing' : `\u201c${text.trim()}\u201d`;
  return `${words}: type a number of ${unitName(unit, units.value)} above zero; got ${said}.`;
}
