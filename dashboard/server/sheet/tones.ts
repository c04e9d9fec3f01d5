/* The colours of a sheet: dark ink on white for paper and day, the same roles on dark ground for a screen at night. Asked by both writers. */
import type { Tone } from './night-picture.js';

const day: Readonly<Record<Tone | 'paper', string>> = {
  paper: '#ffffff',
  ink: '#1c1a17',
  faint: '#56514a',
  rule: '#d8d3cb',
  current: '#8a3d12',
  band: '#e9b48f',
  bath: '#1f5d7a',
  phase: '#ece7de',
  care: '#a3211b',
  gap: '#f3cfc9',
};
const night: typeof day = {
  paper: '#171512',
  ink: '#ece7de',
  faint: '#b3aca1',
  rule: '#3d3932',
  current: '#f0a878',
  band: '#6b3d22',
  bath: '#86c3e0',
  phase: '#2f2b26',
  care: '#ff9b8f',
  gap: '#4a2320',
};
export const tones = { day, night } as const;
