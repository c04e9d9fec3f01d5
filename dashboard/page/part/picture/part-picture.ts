/*
 * Draws one part with its marks into a canvas, on demand and never by itself. Run by the picture's worker, or by the page where a
 * canvas cannot be handed to a worker. Colours are the page's, as they are: nothing here converts or tones them.
 */
import {
  BufferAttribute,
  BufferGeometry,
  ColorManagement,
  LinearSRGBColorSpace,
  Mesh,
  PerspectiveCamera,
  Points,
  Scene,
  WebGLRenderer,
} from 'three';
import { LineSegments2 } from 'three/addons/lines/LineSegments2.js';
import { LineSegmentsGeometry } from 'three/addons/lines/LineSegmentsGeometry.js';
import type { CrowdingMarks, Extent } from '../model-worker/asked.js';
import type { AskedOfPicture, DrawnPlane, Palette, Shown, ToldByPicture } from './asked.js';
import { edgeMaterial, paintSpots, paintSurface, spotMaterial, surfaceMaterial } from './materials.js';
import { cameraOf, FIELD_DEGREES, firstView, type View } from './view.js';

ColorManagement.enabled = false;

const EDGE_PIXELS = 2;
const ROD_PIXELS = 8;
const RECESS_PIXELS = 6;

export class PartPicture {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(FIELD_DEGREES);
  private readonly surface = surfaceMaterial();
  private readonly lines = edgeMaterial(EDGE_PIXELS);
  private readonly rods = spotMaterial(ROD_PIXELS, true);
  private readonly recesses = spotMaterial(RECESS_PIXELS, false);
  private pieces: Mesh<BufferGeometry>[] = [];
  private marked: (LineSegments2 | Points)[] = [];
  private extent: Extent = { middleMm: [0, 0, 0], radiusMm: 1 };
  private view: View = firstView;
  /** Undefined until the page has said it: a picture of one pixel would be stretched over the whole frame. */
  private size: { readonly width: number; readonly height: number; readonly pixelRatio: number } | undefined;
  private palette: Palette | undefined;
  private marks: CrowdingMarks | null = null;
  private shown: Shown | undefined;
  private isAwaited = false;

  /** Undefined where the canvas can give no WebGL. */
  static in(
    canvas: HTMLCanvasElement | OffscreenCanvas,
    tell: (told: ToldByPicture) => void,
    laterFrame: (draw: () => void) => void,
  ): PartPicture | undefined {
    const context = canvas.getContext('webgl2', { antialias: true, alpha: true });
    if (!(context instanceof WebGL2RenderingContext)) return undefined;
    canvas.addEventListener('webglcontextlost', () => {
      tell({ kind: 'cannot-draw' });
    });
    return new PartPicture(canvas, context, tell, laterFrame);
  }

  private constructor(
    canvas: HTMLCanvasElement | OffscreenCanvas,
    context: WebGL2RenderingContext,
    private readonly tell: (told: ToldByPicture) => void,
    private readonly laterFrame: (draw: () => void) => void,
  ) {
    this.renderer = new WebGLRenderer({ canvas, context });
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.renderer.setClearColor(0x000000, 0);
  }

  take(asked: AskedOfPicture): void {
    if (asked.kind === 'size') this.resize(asked.width, asked.height, asked.pixelRatio);
    else if (asked.kind === 'palette') this.paint(asked.palette);
    else if (asked.kind === 'source')
      asked.port.onmessage = (event: MessageEvent<AskedOfPicture>) => {
        this.take(event.data);
      };
    else if (asked.kind === 'begin') this.begin(asked.extent);
    else if (asked.kind === 'piece') this.addPiece(asked.piece.positions, asked.piece.normals);
    else if (asked.kind === 'states') this.setStates(asked.states);
    else if (asked.kind === 'plane') this.setPlane(asked.plane);
    else if (asked.kind === 'view') this.view = asked.view;
    else {
      if (asked.kind === 'marks') this.marks = asked.marks;
      else this.shown = asked.shown;
      this.mark();
    }
    if (this.isAwaited || this.size === undefined) return;
    this.isAwaited = true;
    this.laterFrame(() => {
      this.isAwaited = false;
      if (this.size !== undefined) this.draw(this.size.width / this.size.height);
      const corners = this.pieces.reduce((sum, { geometry }) => sum + geometry.getAttribute('position').count, 0);
      this.tell({ kind: 'drawn', triangles: corners / 3, hasMarks: this.marked.length > 0 });
    });
  }

  dispose(): void {
    this.begin(this.extent);
    this.marks = null;
    this.mark();
    this.renderer.dispose();
  }

  private resize(width: number, height: number, pixelRatio: number): void {
    this.size = { width: Math.max(1, width), height: Math.max(1, height), pixelRatio };
    this.renderer.setPixelRatio(pixelRatio);
    this.renderer.setSize(this.size.width, this.size.height, false);
    if (this.palette) this.paint(this.palette);
  }

  private paint(palette: Palette): void {
    this.palette = palette;
    const pixelRatio = this.size?.pixelRatio ?? 1;
    paintSurface(this.surface, palette, pixelRatio);
    paintSpots(this.rods, palette.pencil, palette.paper, pixelRatio);
    paintSpots(this.recesses, palette.water, palette.paper, pixelRatio);
    this.lines.color.set(palette.pencil);
  }

  private begin(extent: Extent): void {
    for (const piece of this.pieces) {
      this.scene.remove(piece);
      piece.geometry.dispose();
    }
    this.pieces = [];
    this.extent = extent;
  }

  private addPiece(positions: Float32Array, normals: Int8Array): void {
    const geometry = new BufferGeometry();
    const corners = positions.length / 3;
    geometry.setAttribute('position', new BufferAttribute(positions, 3));
    // Four bytes a corner keep them aligned; the shader takes the first three.
    geometry.setAttribute('normal', new BufferAttribute(normals, 4, true));
    geometry.setAttribute('state', new BufferAttribute(new Uint8Array(corners), 1));
    const piece = new Mesh(geometry, this.surface);
    piece.frustumCulled = false;
    this.pieces.push(piece);
    this.scene.add(piece);
  }

  private setStates(states: Uint8Array): void {
    let from = 0;
    for (const { geometry } of this.pieces) {
      const attribute = geometry.getAttribute('state') as BufferAttribute;
      (attribute.array as Uint8Array).set(states.subarray(from, from + attribute.count));
      attribute.needsUpdate = true;
      from += attribute.count;
    }
  }

  private setPlane(plane: DrawnPlane | null): void {
    const uniform = this.surface.uniforms.plane!.value as { set(x: number, y: number, z: number, w: number): void };
    if (plane === null) uniform.set(0, 0, 0, 1);
    else uniform.set(...plane.normal, plane.offset);
  }

  private mark(): void {
    for (const one of this.marked) {
      this.scene.remove(one);
      one.geometry.dispose();
    }
    this.marked = [];
    const { marks, shown } = this;
    if (marks === null || shown === undefined) return;
    if (shown.edges && marks.edges.length > 0)
      this.marked.push(new LineSegments2(new LineSegmentsGeometry().setPositions(marks.edges), this.lines));
    if (shown.rods) this.addSpots(marks.places, marks.rodDiameterMm, shown.rodDiameterMm, this.rods);
    if (shown.recesses) this.addSpots(marks.places, marks.openShare, shown.openShare, this.recesses);
    for (const one of this.marked) {
      one.frustumCulled = false;
      this.scene.add(one);
    }
  }

  private addSpots(places: Float32Array, values: Float32Array, below: number, material: typeof this.rods): void {
    const chosen: number[] = [];
    values.forEach((value, k) => {
      if (value < below) chosen.push(places[3 * k]!, places[3 * k + 1]!, places[3 * k + 2]!);
    });
    if (chosen.length === 0) return;
    const geometry = new BufferGeometry().setAttribute('position', new BufferAttribute(Float32Array.from(chosen), 3));
    this.marked.push(new Points(geometry, material));
  }

  private draw(widthToHeight: number): void {
    const { place, target, up, nearMm, farMm } = cameraOf(this.view, this.extent, widthToHeight);
    this.camera.aspect = widthToHeight;
    this.camera.near = nearMm;
    this.camera.far = farMm;
    this.camera.up.set(...up);
    this.camera.position.set(...place);
    this.camera.lookAt(...target);
    this.camera.updateProjectionMatrix();
    this.renderer.render(this.scene, this.camera);
  }
}
