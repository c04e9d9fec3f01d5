/*
 * The picture of a model: turned by hand or by keys, nearer and farther, pointed at to choose what is not plated. Says so where this
 * browser cannot draw it; nothing else of the room depends on it.
 */
import { effect, useSignal, useSignalEffect } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import { type Choice, cutOffPlane } from '@bathkeeper/shared-core/part';
import { isNight } from '../state/look.js';
import { countWords } from '../words/part-words.js';
import type { LoadedModel } from './loaded-model.js';
import type { AskedOfPicture, Palette, Shown } from './picture/asked.js';
import { type Easel, easels } from './picture/easel.js';
import { handsOn } from './picture/hands.js';
import { cameraOf, firstView, magnified, rayThrough, turned, type UpAxis, type View } from './picture/view.js';

/** More would be drawn for no eye. */
const MOST_PIXEL_RATIO = 2;

const steps: readonly { readonly words: string; readonly step: (view: View) => View }[] = [
  { words: 'Turn left', step: (view) => turned(view, 20, 0) },
  { words: 'Turn right', step: (view) => turned(view, -20, 0) },
  { words: 'Nearer', step: (view) => magnified(view, 1.3) },
  { words: 'From above', step: (view) => turned(view, 0, 20) },
  { words: 'From below', step: (view) => turned(view, 0, -20) },
  { words: 'Farther', step: (view) => magnified(view, 1 / 1.3) },
];

export function ModelPicture(props: {
  name: string;
  model: LoadedModel;
  shown: Shown;
  /** What a press on the picture takes in. */
  kind: Choice['kind'];
  up: UpAxis;
  changeUp: (up: UpAxis) => void;
}) {
  const { model, up } = props;
  const [way, setWay] = useState(0);
  const view = useSignal<View>({ ...firstView, up });
  const frame = useRef<HTMLDivElement>(null);
  const easel = useRef<Easel | undefined>(undefined);
  const ask = (asked: AskedOfPicture): void => easel.current?.ask(asked);

  useEffect(() => {
    const canvas = document.createElement('canvas');
    const place = frame.current;
    if (place === null || way >= easels.length) return;
    place.append(canvas);
    const made = easels[way]!(canvas, (told) => {
      if (told.kind === 'cannot-draw') setWay((tried) => tried + 1);
      else {
        place.dataset.drawn = String(told.triangles);
        place.dataset.marks = String(told.hasMarks);
      }
    });
    if (made === undefined) {
      canvas.remove();
      setWay(way + 1);
      return;
    }
    easel.current = made;
    const sizes = new ResizeObserver(() => {
      const pixelRatio = Math.min(MOST_PIXEL_RATIO, devicePixelRatio);
      made.ask({ kind: 'size', width: place.clientWidth, height: place.clientHeight, pixelRatio });
    });
    const { port1, port2 } = new MessageChannel();
    made.ask({ kind: 'source', port: port2 }, [port2]);
    const stopDrawing = model.drawInto(port1);
    const stopAsking = [
      effect(() => made.ask({ kind: 'palette', palette: paletteOf(isNight.value) })),
      effect(() => made.ask({ kind: 'plane', plane: planeOf(model) })),
      effect(() => made.ask({ kind: 'marks', marks: model.marks.value })),
      effect(() => made.ask({ kind: 'view', view: view.value })),
    ];
    sizes.observe(place);
    return () => {
      for (const stop of [stopDrawing, ...stopAsking]) stop();
      sizes.disconnect();
      made.remove();
      easel.current = undefined;
      canvas.remove();
    };
  }, [model, way]);

  const { factor } = model;
  useSignalEffect(() => {
    // The marks' lengths are the model's own.
    ask({ kind: 'shown', shown: { ...props.shown, rodDiameterMm: props.shown.rodDiameterMm / factor.value } });
  });
  useEffect(() => {
    ask({ kind: 'shown', shown: { ...props.shown, rodDiameterMm: props.shown.rodDiameterMm / factor.peek() } });
  }, [props.shown, way]);
  useEffect(() => {
    view.value = { ...view.peek(), up };
  }, [up]);

  const pressed = async (x: number, y: number): Promise<void> => {
    const place = frame.current;
    if (place === null) return;
    const widthToHeight = place.clientWidth / place.clientHeight;
    const camera = cameraOf(view.peek(), model.report.extent, widthToHeight);
    const { triangle, isPlated } = await model.point(camera.place, rayThrough(camera, x, y, widthToHeight));
    if (triangle !== undefined) model.choose({ kind: props.kind, triangle, isPlated: !isPlated });
  };
  const latest = useRef(pressed);
  latest.current = pressed;
  useEffect(() => {
    if (frame.current === null) return;
    return handsOn(frame.current, {
      turn: (around, above) => (view.value = turned(view.peek(), around, above)),
      magnify: (times) => (view.value = magnified(view.peek(), times)),
      press: (x, y) => void latest.current(x, y),
    });
  }, [way]);

  if (way >= easels.length)
    return (
      <div class="part-picture no-picture" role="note">
        <p>
          <strong>No picture here:</strong> this browser cannot draw in three dimensions (WebGL is off, or the graphics
          memory ran out). All figures are there, and what is not plated can be chosen from the list.
        </p>
      </div>
    );
  const { triangles } = model.report.measure;
  const drawnTriangles = model.drawnTriangles.value ?? triangles;
  return (
    <figure class="part-picture">
      <div
        ref={frame}
        class="part-canvas"
        role="application"
        aria-roledescription="picture that can be turned"
        aria-label={`${props.name}. Arrow keys turn it, plus and minus bring it nearer and farther. What is not plated can also be chosen from the list.`}
        tabIndex={0}
      />
      <div class="part-view" role="group" aria-label="Look at it">
        {steps.map(({ words, step }) => (
          <button key={words} type="button" class="quiet" onClick={() => (view.value = step(view.peek()))}>
            {words}
          </button>
        ))}
      </div>
      <figcaption>
        <label class="part-up">
          Upright in the file is
          <select value={up} onChange={(event) => props.changeUp(event.currentTarget.value as UpAxis)}>
            <option value="z">z</option>
            <option value="y">y</option>
          </select>
        </label>
        {drawnTriangles < triangles && (
          <span>
            Drawn with {countWords(drawnTriangles)} of its {countWords(triangles)} triangles; the figures count all.
          </span>
        )}
      </figcaption>
    </figure>
  );
}

function planeOf(model: LoadedModel): { normal: readonly [number, number, number]; offset: number } | null {
  const { cutOff } = model.notPlated.value;
  return cutOff === undefined ? null : cutOffPlane(cutOff);
}

/** The colours that the page has at present; `_isNight` only says that they changed. */
function paletteOf(_isNight: boolean): Palette {
  const style = getComputedStyle(document.documentElement);
  const colour = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ink: colour('--ink'),
    paper: colour('--leaf'),
    copper: colour('--copper-lit'),
    copperShade: colour('--copper-shade'),
    pencil: colour('--pencil'),
    water: colour('--bath-ink'),
  };
}
