/*
 * From parts as they were named to parts of a plan: reads model files, measures them and simple shapes. Called by the plan command; the bytes of a file
 * come from whoever calls.
 */
import {
  crowdingOf,
  measureWithParts,
  millimetresPerUnit,
  sizeWarning,
  type LengthUnit,
} from '@bathkeeper/shared-core/part';
import { inWords, notPlatedOf, partFromModel, partFromShape, type PlannedPart } from '@bathkeeper/shared-core/trade';
import { type ModelSource, readModel, UnreadableModel } from '../../model-files/index.js';
import type { AskedPart, PlanOptions } from './asked.js';

export type ReadFile = <Of>(path: string, use: (source: ModelSource) => Of) => Of;

/** What cannot be read or measured: which part, and why. */
export class UnusablePart extends Error {
  override readonly name = 'UnusablePart';
}

/** @throws UnusablePart, which tells of every part that cannot be used. */
export function partsInBath(options: PlanOptions, readFile: ReadFile): PlannedPart[] {
  const why: string[] = [];
  const parts = options.parts.flatMap((asked, index) => {
    try {
      return [partInBath(asked, options, readFile, index)];
    } catch (fault) {
      if (!(fault instanceof UnusablePart)) throw fault;
      why.push(fault.message);
      return [];
    }
  });
  if (why.length > 0) throw new UnusablePart(why.join('\n'));
  return parts;
}

function partInBath(asked: AskedPart, options: PlanOptions, readFile: ReadFile, index: number): PlannedPart {
  const { named, pieces, maskedDm2, volumeCm3 } = asked;
  switch (named.kind) {
    case 'model':
      return partOfModel(named.path, asked, options, readFile);
    case 'area':
      return {
        name: options.parts.length === 1 ? 'part' : `part ${String(index + 1)}`,
        pieces,
        areaDm2: named.areaDm2 - maskedDm2,
        areaFrom: 'typed in',
        ...notPlatedOf(maskedDm2),
        ...(volumeCm3 === undefined ? {} : { volumeCm3 }),
      };
    case 'shape': {
      const reading = partFromShape(named.shape, { pieces, maskedDm2 });
      if ('refusals' in reading) {
        const why = reading.refusals.map((each) => inWords(each, options.units)).join(' ');
        throw new UnusablePart(`The ${named.shape.kind}: ${why}`);
      }
      return reading.part;
    }
  }
}

function partOfModel(path: string, asked: AskedPart, options: PlanOptions, readFile: ReadFile): PlannedPart {
  try {
    const reading = { unit: options.lengthUnit, millimetresPerUnit: options.millimetresPerUnit };
    const model = readFile(path, (source) => readModel(source, reading));
    const measured = measureWithParts(model.mesh);
    const sizeWords = sizeWarning(measured.measure.boxMm, model.unit);
    const part = partFromModel(model.mesh, measured, crowdingOf(model.mesh, measured), {
      name: path.split(/[/\\]/).at(-1) ?? path,
      pieces: asked.pieces,
      maskedDm2: asked.maskedDm2,
      areaFrom: `read from ${model.format} ${unitWords(model.unit)}`,
      warnings: [...model.notes, ...(sizeWords === undefined ? [] : [sizeWords])],
    });
    return part.volumeCm3 === undefined && asked.volumeCm3 !== undefined
      ? { ...part, volumeCm3: asked.volumeCm3 }
      : part;
  } catch (fault) {
    if (fault instanceof UnreadableModel) throw new UnusablePart(`${path}: ${fault.message}`);
    throw unreadableFile(path, fault) ?? fault;
  }
}

function unitWords(unit: LengthUnit | 'scale'): string {
  return unit === 'scale' ? 'at the scale given' : `with ${String(millimetresPerUnit[unit])} mm a unit`;
}

/** What keeps a file from being read, in words; undefined where the fault is another one. */
function unreadableFile(path: string, fault: unknown): UnusablePart | undefined {
  if (!(fault instanceof Error && 'code' in fault)) return undefined;
  const why = String(fault.code);
  const words: Record<string, string> = {
    ENOENT: 'no such file',
    EISDIR: 'a folder',
    EACCES: 'a file that may not be read',
    ERR_FS_FILE_TOO_LARGE: 'a file of more than 2 GB',
  };
  return new UnusablePart(
    `${path}: expected a model file (STL, OBJ or 3MF), got ${words[why] ?? why}. Check the path${why === 'ENOENT' ? ' and the spelling' : ''}.`,
  );
}
