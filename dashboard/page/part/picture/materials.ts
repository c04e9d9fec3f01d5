/*
 * How surfaces and marks look: copper where copper will grow, hatched paper where it will not, dots and rings for places. Used by the
 * part's picture. Shapes differ as well as colours, so that nothing is told by colour alone.
 */
import { Color, DoubleSide, ShaderMaterial, Vector4 } from 'three';
import { LineMaterial } from 'three/addons/lines/LineMaterial.js';
import type { Palette } from './asked.js';

/** Pixels of the page from one hatching line to the next. */
const HATCH = 7;

/** Lines and dots lie before the surface that they are on, by some thousandth of the part; pushing surfaces back instead opens them where they are seen edgewise. */
const raised = (share: number): string => `gl_Position.z -= ${share.toFixed(4)} * gl_Position.w;`;
const LINE_RAISED = 0.002;
/** A dot is wide and lies flat to the eye: on a slope its upper half would sink in. */
const SPOT_RAISED = 0.008;

export function surfaceMaterial(): ShaderMaterial {
  return new ShaderMaterial({
    side: DoubleSide,
    uniforms: {
      ink: { value: new Color() },
      paper: { value: new Color() },
      copper: { value: new Color() },
      copperShade: { value: new Color() },
      plane: { value: new Vector4(0, 0, 0, 1) },
      hatch: { value: HATCH },
    },
    vertexShader: /* glsl */ `
      attribute float state;
      varying vec3 vNormal;
      varying vec3 vToEye;
      varying vec3 vPlace;
      varying float vState;
      void main() {
        vec4 seen = modelViewMatrix * vec4(position, 1.0);
        vNormal = normalMatrix * normal;
        vToEye = -seen.xyz;
        vPlace = position;
        vState = state;
        gl_Position = projectionMatrix * seen;
      }`,
    fragmentShader: /* glsl */ `
      uniform vec3 ink;
      uniform vec3 paper;
      uniform vec3 copper;
      uniform vec3 copperShade;
      uniform vec4 plane;
      uniform float hatch;
      varying vec3 vNormal;
      varying vec3 vToEye;
      varying vec3 vPlace;
      varying float vState;
      const vec3 lamp = vec3(-0.45, 0.62, 0.64);

      float line(float across, float width) {
        float off = abs(fract(across / hatch) - 0.5) * hatch;
        return 1.0 - smoothstep(width, width + 0.9, off);
      }

      void main() {
        vec3 toEye = normalize(vToEye);
        vec3 normal = normalize(vNormal);
        if (dot(normal, toEye) < 0.0) normal = -normal;
        float light = 0.5 + 0.5 * dot(normal, lamp);
        float rim = pow(1.0 - max(0.0, dot(normal, toEye)), 3.0);
        int state = int(vState + 0.5);
        bool isMasked = state == 1 || state == 3 || dot(vPlace, plane.xyz) > plane.w;
        vec3 colour;
        if (isMasked) {
          colour = mix(mix(paper, ink, 0.35), paper, smoothstep(0.05, 0.75, light));
          colour = mix(colour, ink, 0.6 * line(gl_FragCoord.x + gl_FragCoord.y, 0.55 * hatch / ${HATCH.toFixed(1)}));
        } else {
          float shine = pow(max(0.0, dot(reflect(-lamp, normal), toEye)), 18.0);
          colour = mix(copperShade * 0.62, copper, smoothstep(0.05, 0.95, light));
          colour += copper * 0.45 * shine;
        }
        if (state >= 2) {
          colour = mix(colour, paper, 0.3);
          colour = mix(colour, ink, 0.75 * line(gl_FragCoord.x - gl_FragCoord.y, 0.8 * hatch / ${HATCH.toFixed(1)}));
        }
        gl_FragColor = vec4(mix(colour, isMasked ? ink : copperShade * 0.5, 0.5 * rim), 1.0);
      }`,
  });
}

export function edgeMaterial(pixels: number): LineMaterial {
  const material = new LineMaterial({ linewidth: pixels });
  material.onBeforeCompile = (shader) => {
    shader.vertexShader = shader.vertexShader.replace(
      'gl_Position = clip;',
      `gl_Position = clip;\n${raised(LINE_RAISED)}`,
    );
  };
  return material;
}

/** Dots, or rings where `isRing`; `size` in pixels of the page. */
export function spotMaterial(size: number, isRing: boolean): ShaderMaterial {
  return new ShaderMaterial({
    uniforms: {
      colour: { value: new Color() },
      halo: { value: new Color() },
      size: { value: size },
      pixelRatio: { value: 1 },
    },
    vertexShader: /* glsl */ `
      uniform float size;
      uniform float pixelRatio;
      void main() {
        gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
        ${raised(SPOT_RAISED)}
        gl_PointSize = size * pixelRatio;
      }`,
    fragmentShader: /* glsl */ `
      uniform vec3 colour;
      uniform vec3 halo;
      void main() {
        float reach = length(gl_PointCoord - 0.5) * 2.0;
        if (reach > 1.0) discard;
        gl_FragColor = vec4(${isRing ? 'reach > 0.72 ? halo : (reach > 0.36 ? colour : halo)' : 'reach > 0.72 ? halo : colour'}, 1.0);
      }`,
  });
}

export function paintSurface({ uniforms }: ShaderMaterial, palette: Palette, pixelRatio: number): void {
  (uniforms.ink!.value as Color).set(palette.ink);
  (uniforms.paper!.value as Color).set(palette.paper);
  (uniforms.copper!.value as Color).set(palette.copper);
  (uniforms.copperShade!.value as Color).set(palette.copperShade);
  uniforms.hatch!.value = HATCH * pixelRatio;
}

export function paintSpots({ uniforms }: ShaderMaterial, colour: string, halo: string, pixelRatio: number): void {
  (uniforms.colour!.value as Color).set(colour);
  (uniforms.halo!.value as Color).set(halo);
  uniforms.pixelRatio!.value = pixelRatio;
}
