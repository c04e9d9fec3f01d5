/*
 * Answers what the page asks of one model: reads it, measures it, says how much is plated, what lies where somebody points, where current
 * crowds, and what its picture is drawn from. Run by the model worker; needs no browser, so tests can ask it too.
 */
import { readModel, UnreadableModel } from '../../../model-files/index.js';
import {
  type Crowding,
  CrowdingSurvey,
  firstTriangleOnRay,
  largestPieces,
  measureWithParts,
  type Mesh,
  type NotPlated,
  platedAllOver,
  platedCrowding,
  type PlatedShare,
  Selectable,
  takenOf,
  unitNormals,
} from '@bathkeeper/shared-core/part';
import { type ModelBody, modelBody, modelCrowding } from '@bathkeeper/shared-core/trade';
import { flutedBell } from '../fluted-bell.js';
import { type Asked, MADE_HERE, type ModelReport, type PictureInlet, type Told } from './asked.js';
import { crowdingMarks } from './crowding-marks.js';
import { extentOf, pictureMesh, pictureStates } from './picture-mesh.js';

/** Larger ones do not fit beside their mesh into the memory that a browser gives a page. */
const MOST_BYTES = 1_000_000_000;
const SHELLS_LISTED = 12;
const REGIONS_LISTED = 12;
const SAMPLES = 3000;
const SAMPLES_AT_A_TIME = 100;

type Say = (told: Told, handedOver?: Transferable[]) => void;
type ReadAs = Pick<ModelReport, 'format' | 'unit' | 'isUnitFromFile' | 'notes'>;

export class ModelDesk {
  private selectable: Selectable | undefined;
  private report: ModelReport | undefined;
  private share: PlatedShare | undefined;
  private notPlated: NotPlated = platedAllOver;
  /** What `share` was made of. */
  private sharedAs: NotPlated = platedAllOver;
  private crowding: Crowding | undefined;
  private body: ModelBody = {};
  private pointedAt: Uint8Array | undefined;
  private inlet: PictureInlet | undefined;
  /** The triangles of the picture. */
  private drawn: Uint32Array | undefined;
  private sharesWaiting = 0;

  /** `pause`: lets what was asked meanwhile come in. */
  constructor(
    private readonly say: Say,
    private readonly pause: () => Promise<void>,
  ) {}

  async take(asked: Asked): Promise<void> {
    try {
      if (asked.kind === 'read') await this.read(asked.file);
      else if (asked.kind === 'make-bell')
        await this.measure(flutedBell(), { format: MADE_HERE, unit: 'millimeter', isUnitFromFile: true, notes: [] });
      else if (asked.kind === 'share') await this.newestShare(asked.notPlated);
      else if (asked.kind === 'point') this.point(asked);
      else if (asked.kind === 'show') {
        this.pointedAt =
          asked.piece === null ? undefined : this.selectable?.piece(asked.piece.kind, asked.piece.triangle);
        this.sayStates();
      } else if (asked.kind === 'draw') this.draw(asked.into);
      else this.inlet = undefined;
    } catch (fault) {
      this.say({ kind: 'refused', message: wordsOf(fault) });
    }
  }

  private async read(file: File): Promise<void> {
    this.say({ kind: 'progress', stage: 'reading', share: 0 });
    if (file.size > MOST_BYTES)
      throw new UnreadableModel(
        'The file is too large for a page',
        `at most ${String(MOST_BYTES / 1e6)} MB`,
        `${String(Math.ceil(file.size / 1e6))} MB`,
        'Export the model again with fewer triangles',
      );
    const { mesh, ...readAs } = await this.meshIn(file);
    await this.measure(mesh, readAs);
  }

  /** A function of its own, so that the file's bytes are free as soon as they were read. */
  private async meshIn(file: File): Promise<ReadAs & { mesh: Mesh }> {
    const bytes = new Uint8Array(await file.arrayBuffer());
    const { format, mesh, unit, isUnitFromFile, notes } = readModel(bytes, {
      onProgress: (share) => {
        this.say({ kind: 'progress', stage: 'reading', share });
      },
    });
    return { format, mesh, unit: unit === 'scale' ? 'millimeter' : unit, isUnitFromFile, notes };
  }

  private async measure(mesh: Mesh, readAs: ReadAs): Promise<void> {
    this.say({ kind: 'progress', stage: 'measuring', share: 0 });
    const part = measureWithParts(mesh, (share) => {
      this.say({ kind: 'progress', stage: 'measuring', share });
    });
    this.say({ kind: 'progress', stage: 'comparing', share: 0 });
    const normals = unitNormals(mesh);
    const selectable = new Selectable(mesh, part, normals);
    this.say({ kind: 'progress', stage: 'comparing', share: 0.5 });
    const { shells } = part;
    const { regions } = selectable;
    this.report = {
      ...readAs,
      measure: part.measure,
      extent: extentOf(mesh),
      shells: largestPieces(mesh, part, shells.shellOf, shells.count, SHELLS_LISTED, normals),
      regions: largestPieces(mesh, part, regions.regionOf, regions.count, REGIONS_LISTED, normals),
      regionCount: regions.count,
    };
    this.selectable = selectable;
    this.say({ kind: 'measured', report: this.report });
    this.sayShare(this.notPlated);
    await this.survey(selectable);
  }

  private async survey({ mesh, part }: Selectable): Promise<void> {
    await this.pause();
    const survey = new CrowdingSurvey(mesh, part, SAMPLES);
    while (survey.lookAt(SAMPLES_AT_A_TIME)) await this.pause();
    this.crowding = survey.found();
    this.body = modelBody(mesh, part);
    this.sayMarks();
  }

  /** A hand that drags a height asks faster than five million triangles answer. */
  private async newestShare(notPlated: NotPlated): Promise<void> {
    this.notPlated = notPlated;
    this.sharesWaiting++;
    await this.pause();
    this.sharesWaiting--;
    if (this.sharesWaiting === 0) this.sayShare(this.notPlated);
  }

  private sayShare(notPlated: NotPlated): void {
    const { selectable, report } = this;
    if (selectable === undefined || report === undefined) return;
    const share = selectable.share(notPlated);
    const { platedAreaMm2, notPlatedAreaMm2, mask } = share;
    const taken = (pieceOf: Uint32Array, pieces: ModelReport['regions']) =>
      takenOf(
        pieceOf,
        pieces.map((piece) => piece.triangle),
        mask,
      );
    const isMaskNew = this.share === undefined || maskKey(notPlated) !== maskKey(this.sharedAs);
    this.share = share;
    this.sharedAs = notPlated;
    this.say({
      kind: 'shared',
      shared: {
        notPlated,
        platedAreaMm2,
        notPlatedAreaMm2,
        shells: taken(selectable.part.shells.shellOf, report.shells),
        regions: taken(selectable.regions.regionOf, report.regions),
      },
    });
    // A height that is dragged masks no triangle: the picture cuts there by itself.
    if (isMaskNew) this.sayStates();
    this.sayMarks();
  }

  private sayMarks(): void {
    const { selectable, share, crowding } = this;
    if (selectable === undefined || share === undefined || crowding === undefined) return;
    const { mesh, part } = selectable;
    const plated = platedCrowding(mesh, part.edges, crowding, share.mask, this.notPlated.cutOff);
    const marks = crowdingMarks(mesh, plated);
    const shape = { ...this.body, ...modelCrowding(plated, part.measure) };
    this.say({ kind: 'crowding', marks, shape }, [
      marks.edges.buffer,
      marks.places.buffer,
      marks.rodDiameterMm.buffer,
      marks.openShare.buffer,
    ]);
  }

  private point({ from, direction }: Extract<Asked, { kind: 'point' }>): void {
    if (this.selectable === undefined) return;
    const triangle = firstTriangleOnRay(this.selectable.mesh, from, direction);
    this.say({ kind: 'pointed', triangle, isPlated: triangle === undefined || this.share?.mask[triangle] !== 1 });
  }

  private draw(inlet: PictureInlet): void {
    const { selectable, report } = this;
    if (selectable === undefined || report === undefined) return;
    const { mesh, part } = selectable;
    const { pieces, triangleOf } = pictureMesh(mesh, part.shells.isInverted);
    this.drawn = triangleOf;
    this.inlet = inlet;
    this.say({ kind: 'picture', drawnTriangles: triangleOf.length });
    inlet.postMessage({ kind: 'begin', extent: report.extent }, []);
    for (const piece of pieces)
      inlet.postMessage({ kind: 'piece', piece }, [piece.positions.buffer, piece.normals.buffer]);
    this.sayStates();
  }

  private sayStates(): void {
    if (this.inlet === undefined || this.drawn === undefined || this.share === undefined) return;
    const states = pictureStates(this.drawn, this.share.mask, this.pointedAt);
    this.inlet.postMessage({ kind: 'states', states }, [states.buffer]);
  }
}

/** The same for two that mask the same triangles in the same way. */
function maskKey({ choices, areCavitiesPlated }: NotPlated): string {
  return JSON.stringify([areCavitiesPlated, ...choices]);
}

function wordsOf(fault: unknown): string {
  if (fault instanceof UnreadableModel) return fault.message;
  if (fault instanceof RangeError && /alloc|length|size/i.test(fault.message))
    return 'This device has not enough memory for the model. Export it again with fewer triangles, or measure it on a computer.';
  if (fault instanceof DOMException)
    return 'The file can no longer be read: it was moved, changed or closed to this page. Choose it again.';
  return `The model could not be measured (${fault instanceof Error ? fault.message : String(fault)}). Choose another file, and report this one if it opens elsewhere.`;
}
