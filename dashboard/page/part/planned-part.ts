/*
 * What a plan takes of a part that hangs in the bath: area and volume as the room shows them, and what else is known of its shape. Read by bath-parts.ts;
 * knows no metal and no current.
 */
import { millimetresPerUnit, sizeWarning } from '@bathkeeper/shared-core/part';
import {
  cavityWarnings,
  partFromMeasure,
  partFromShape,
  type PlannedPart,
  scaledShape,
} from '@bathkeeper/shared-core/trade';
import { notPlatedWords } from '../words/not-plated-words.js';
import { areaWords, lengthWords } from '../words/part-words.js';
import type { PartSource } from './bath-parts.js';
import type { LoadedModel } from './loaded-model.js';
import { MADE_HERE } from './model-worker/asked.js';

/** Reads signals of a model: made anew when its masks, its scale or what its worker found change. */
export function plannedPart(name: string, pieces: number, source: PartSource): PlannedPart {
  if (source.kind === 'model') return ofModel(name, pieces, source.model);
  if (source.kind === 'kept') return { ...source.figures, name, pieces };
  const { shape, areaDm2, volumeCm3 } = source;
  const reading = shape === undefined ? undefined : partFromShape(shape, { pieces });
  if (reading !== undefined && 'part' in reading) return { ...reading.part, name };
  return { name, pieces, areaDm2, areaFrom: 'typed in', ...(volumeCm3 === undefined ? {} : { volumeCm3 }) };
}

function ofModel(name: string, pieces: number, model: LoadedModel): PlannedPart {
  const measure = model.measure.value;
  const sizeTrouble = sizeWarning(measure.boxMm, model.unit.value);
  const notPlated = notPlatedOf(model);
  return partFromMeasure(measure, scaledShape(model.shape.value, model.factor.value), {
    name,
    pieces,
    areaFrom: areaFromWords(model),
    platedDm2: model.platedAreaDm2.value,
    ...(notPlated.length === 0 ? {} : { notPlated }),
    warnings: [
      ...model.report.notes,
      ...(sizeTrouble === undefined ? [] : [sizeTrouble]),
      ...measure.warnings,
      ...(model.notPlated.value.areCavitiesPlated ? [] : cavityWarnings(measure)),
    ],
  });
}

function notPlatedOf(model: LoadedModel): string[] {
  return notPlatedWords(model.notPlated.value, {
    regions: model.report.regions,
    taken: model.shared.value?.regions,
    atFirst: model.sharedAtFirst.value?.regions,
    boxMm: model.report.measure.boxMm,
    cavityDm2: model.measure.value.cavityAreaMm2 / 10_000,
    factor: model.factor.value,
    up: model.up.value,
  });
}

/** What a saved plan tells of the model when it is gone: size and what was left out too. Example: "read from Binary STL with 25.4 mm a unit, 132 mm × 132 mm × 150 mm, 0.4 dm² not plated". */
function areaFromWords(model: LoadedModel): string {
  const notPlatedDm2 = model.notPlatedAreaDm2.value;
  const leftOut = notPlatedDm2 > 1e-9 ? [`${areaWords(notPlatedDm2, 'metric')} not plated`] : [];
  const { min, max } = model.measure.value.boxMm;
  // Each length with its unit, so that all of them follow a person's units.
  const size = max.map((most, axis) => lengthWords(most - min[axis]!, 'metric')).join(' × ');
  const told = [readFromWords(model), size, ...leftOut];
  // A fixed space is for the screen.
  return told.join(', ').replaceAll('\u00a0', ' ');
}

function readFromWords({ report, unit, times }: LoadedModel): string {
  if (report.format === MADE_HERE) return 'of the demonstration';
  const perUnit = Number((millimetresPerUnit[unit.value] * times.value).toPrecision(6));
  return `read from ${report.format} with ${String(perUnit)} mm a unit`;
}
