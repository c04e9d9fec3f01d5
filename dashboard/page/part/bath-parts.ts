/*
 * The parts that hang in the bath together, as somebody has put them down: models, simple shapes, typed areas, and how many of each.
 * Lasts as long as the page. `plannedParts` is what a plan takes; nothing here knows of metal or current.
 */
import { computed, type ReadonlySignal, signal, type Signal } from '@preact/signals';
import { bathLoad, type PartInBath, type SimpleShape } from '@bathkeeper/shared-core/part';
import type { PlannedPart } from '@bathkeeper/shared-core/trade';
import type { LoadedModel } from './loaded-model.js';
import { plannedPart } from './planned-part.js';

/** A simple part has a shape, or where its area was typed none; one of a saved plan has its figures and no model. */
export type PartSource =
  | { readonly kind: 'model'; readonly model: LoadedModel }
  | { readonly kind: 'kept'; readonly figures: PlannedPart }
  | {
      readonly kind: 'simple';
      readonly shape: SimpleShape | undefined;
      readonly areaDm2: number;
      readonly volumeCm3: number | undefined;
    };

export interface BathPart {
  readonly id: number;
  readonly name: Signal<string>;
  readonly pieces: Signal<number>;
  readonly source: PartSource;
  readonly inBath: ReadonlySignal<PartInBath>;
}

export const parts = signal<readonly BathPart[]>([]);
const chosenId = signal<number | null>(null);

/** The one whose picture and figures are shown. */
export const chosenPart = computed(
  () => parts.value.find((part) => part.id === chosenId.value) ?? parts.value.at(-1) ?? null,
);

export const partsInBath = computed<readonly PartInBath[]>(() => parts.value.map((part) => part.inBath.value));

/** What hangs in the bath in all. */
export const load = computed(() => bathLoad(partsInBath.value));

/** The same parts with what else is known of their shape: a plan begins here. */
export const plannedParts = computed<readonly PlannedPart[]>(() =>
  parts.value.map(({ name, pieces, source }) => plannedPart(name.value, pieces.value, source)),
);

let lastId = 0;

export function addPart(name: string, source: PartSource, count = 1): void {
  const [named, pieces] = [signal(name), signal(count)];
  const inBath = computed(() => ({ name: named.value, pieces: pieces.value, ...measureOf(source) }));
  const part: BathPart = { id: ++lastId, name: named, pieces, source, inBath };
  parts.value = [...parts.value, part];
  chosenId.value = part.id;
}

/** The parts of a saved plan in the place of everything that stood here. */
export function replaceParts(kept: readonly PlannedPart[]): void {
  for (const part of parts.value) closeModel(part);
  parts.value = [];
  for (const figures of kept) addPart(figures.name, { kind: 'kept', figures }, figures.pieces);
}

function closeModel({ source }: BathPart): void {
  if (source.kind === 'model') source.model.close();
}

export function removePart(part: BathPart): void {
  closeModel(part);
  parts.value = parts.value.filter((one) => one !== part);
}

export function showPart(part: BathPart): void {
  chosenId.value = part.id;
}

function measureOf(source: PartSource): { areaDm2: number; volumeCm3: number | undefined } {
  if (source.kind === 'model')
    return { areaDm2: source.model.platedAreaDm2.value, volumeCm3: source.model.volumeCm3.value };
  const { areaDm2, volumeCm3 } = source.kind === 'kept' ? source.figures : source;
  return { areaDm2, volumeCm3 };
}
