/* 3MF: a zip archive with XML in it that says its unit, its objects and what is to be built (3MF Core Specification). */
import { millimetresPerUnit, type LengthUnit } from '@bathkeeper/shared-core/part';
import { mostTriangles, type RawModel, type ReadOptions } from '../model-file.js';
import { exportAgain, UnreadableModel } from '../unreadable-model.js';
import { assemble } from './assemble.js';
import { modelPartReader } from './model-part.js';
import type { Package } from './objects.js';
import { mostUnpackedBytes, unpackModels } from './unpack.js';

export function readThreeMf(bytes: Uint8Array, options: ReadOptions = {}): RawModel {
  const content: Package = { objects: new Map(), items: [], placements: 0, unit: undefined };
  let parts = 0;
  unpackModels(
    bytes,
    (name) => {
      parts++;
      return modelPartReader(name, content, isRootPart(name));
    },
    options.onProgress,
  );
  if (parts === 0)
    throw new UnreadableModel(
      'The zip archive holds no model',
      'a 3MF file with a part "3D/3dmodel.model"',
      'none',
      exportAgain,
    );
  if (content.items.length === 0)
    throw new UnreadableModel('The 3MF file builds nothing', 'a build with at least one item', 'none', exportAgain);
  const unit = content.unit ?? 'millimeter'; // the specification's default
  if (!isUnit(unit))
    throw new UnreadableModel(
      'The 3MF file is in an unknown unit',
      Object.keys(millimetresPerUnit).join(', '),
      `"${unit.slice(0, 24)}"`,
      exportAgain,
    );
  return { format: '3MF', mesh: assemble(content, mostTriangles(mostUnpackedBytes(bytes.length))), unit, notes: [] };
}

/** The part that everything begins with; its usual place, which the package's relations could change but do not in practice. */
function isRootPart(name: string): boolean {
  return /^\/?3d\/[^/]+\.model$/i.test(name);
}

function isUnit(unit: string): unit is LengthUnit {
  return Object.hasOwn(millimetresPerUnit, unit);
}
