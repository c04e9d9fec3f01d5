/*
 * A model that was read, as the page knows it: its report, what is not plated and how that came about, its scale, the marks of its
 * crowding. Holds the worker that answers for it. Read by the room through signals; draws nothing.
 */
import { computed, signal } from '@preact/signals';
import {
  type Choice,
  type LengthUnit,
  millimetresPerUnit,
  type NotPlated,
  platedAllOver,
  scaledMeasure,
  type Triple,
} from '@bathkeeper/shared-core/part';
import type { ModelBody, ModelCrowding } from '@bathkeeper/shared-core/trade';
import type { UpAxis } from './picture/view.js';
import type { Asked, CrowdingMarks, ModelReport, Piece, Shared, Told } from './model-worker/asked.js';

/** What was last done by this hand: a dragged height is one step to take back, and not a hundred. */
type Hand = 'choice' | 'height';

export class LoadedModel {
  readonly unit = signal<LengthUnit>('millimeter');
  /** Beside the unit: 0.5 makes the part half as long. */
  readonly times = signal(1);
  readonly notPlated = signal<NotPlated>(platedAllOver);
  readonly shared = signal<Shared | null>(null);
  /** Before anybody chose: only closed cavities are not plated. */
  readonly sharedAtFirst = signal<Shared | null>(null);
  readonly up = signal<UpAxis>('z');
  readonly marks = signal<CrowdingMarks | null>(null);
  /** What a plan takes of it beside area and volume, in the worker's lengths; empty before the worker has looked. */
  readonly shape = signal<ModelBody & ModelCrowding>({});
  /** Of the model's triangles so many are in its picture; null before there is one. */
  readonly drawnTriangles = signal<number | null>(null);
  /** Why the worker could not answer; null while all is well. */
  readonly fault = signal<string | null>(null);
  private readonly earlier = signal<readonly NotPlated[]>([]);
  private lastHand: Hand | undefined;
  private pointedHears: ((triangle: number | undefined, isPlated: boolean) => void) | undefined;

  /** Millimetres for each millimetre that the worker speaks of. */
  readonly factor = computed(
    () => (this.report.isUnitFromFile ? 1 : millimetresPerUnit[this.unit.value]) * this.times.value,
  );
  readonly measure = computed(() => scaledMeasure(this.report.measure, this.factor.value));
  readonly platedAreaDm2 = computed(
    () => ((this.shared.value?.platedAreaMm2 ?? this.firstPlatedMm2()) * this.factor.value ** 2) / 10_000,
  );
  readonly notPlatedAreaDm2 = computed(() => this.measure.value.areaMm2 / 10_000 - this.platedAreaDm2.value);
  readonly volumeCm3 = computed(() => {
    const { volumeMm3 } = this.measure.value;
    return volumeMm3 === undefined ? undefined : volumeMm3 / 1000;
  });
  readonly canUndo = computed(() => this.earlier.value.length > 0);

  constructor(
    readonly report: ModelReport,
    private readonly worker: Worker,
  ) {
    this.unit.value = report.unit;
    worker.onmessage = (event: MessageEvent<Told>) => {
      this.hear(event.data);
    };
    worker.onerror = () => {
      this.fault.value = 'The model no longer answers: this device ran out of memory. Remove it, and choose it again.';
    };
  }

  /** Masks or plates a piece of surface. */
  choose(choice: Choice): void {
    const { choices } = this.notPlated.value;
    this.change({ ...this.notPlated.value, choices: [...choices, choice] }, 'choice');
  }

  setCutOff(cutOff: NotPlated['cutOff']): void {
    const isDragging = cutOff !== undefined && this.notPlated.value.cutOff !== undefined;
    this.change({ ...this.notPlated.value, cutOff }, isDragging ? 'height' : 'choice');
  }

  setCavitiesPlated(areCavitiesPlated: boolean): void {
    this.change({ ...this.notPlated.value, areCavitiesPlated }, 'choice');
  }

  undo(): void {
    const before = this.earlier.value.at(-1);
    if (before === undefined) return;
    this.earlier.value = this.earlier.value.slice(0, -1);
    this.lastHand = undefined;
    this.notPlated.value = before;
    this.ask({ kind: 'share', notPlated: before });
  }

  /** What lies first on a ray, and whether it is plated. */
  point(from: Triple, direction: Triple): Promise<{ triangle: number | undefined; isPlated: boolean }> {
    return new Promise((resolve) => {
      this.pointedHears = (triangle, isPlated) => {
        resolve({ triangle, isPlated });
      };
      this.ask({ kind: 'point', from, direction });
    });
  }

  show(piece: Piece | null): void {
    this.ask({ kind: 'show', piece });
  }

  /** From now on a picture hears at the other end of this port what it is drawn from. One at a time. */
  drawInto(port: MessagePort): () => void {
    this.worker.postMessage({ kind: 'draw', into: port } satisfies Asked, [port]);
    return () => {
      this.ask({ kind: 'stop-drawing' });
    };
  }

  close(): void {
    this.worker.terminate();
  }

  private firstPlatedMm2(): number {
    return this.report.measure.areaMm2 - this.report.measure.cavityAreaMm2;
  }

  private change(notPlated: NotPlated, hand: Hand): void {
    if (hand === 'choice' || this.lastHand !== 'height')
      this.earlier.value = [...this.earlier.value, this.notPlated.value];
    this.lastHand = hand;
    this.notPlated.value = notPlated;
    this.ask({ kind: 'share', notPlated });
  }

  private hear(told: Told): void {
    if (told.kind === 'shared') {
      this.shared.value = told.shared;
      this.sharedAtFirst.value ??= told.shared;
    } else if (told.kind === 'crowding') {
      this.marks.value = told.marks;
      this.shape.value = told.shape;
    } else if (told.kind === 'pointed') this.pointedHears?.(told.triangle, told.isPlated);
    else if (told.kind === 'refused') this.fault.value = told.message;
    else if (told.kind === 'picture') this.drawnTriangles.value = told.drawnTriangles;
  }

  private ask(asked: Asked): void {
    this.worker.postMessage(asked);
  }
}
