/* Requests that the tests of the plan start from. */
import { type Plan, type PlanFigures, planOf, type PlanRequest } from '@bathkeeper/shared-core/trade';

/** The demonstration's lampshade: a fluted bell. */
export const lampshade: PlanRequest = {
  parts: [
    {
      name: 'Fluted bell lampshade',
      pieces: 1,
      areaDm2: 12,
      areaFrom: 'read from bell.stl',
      volumeCm3: 90,
      isClosed: true,
      longestMm: 180,
      edgeBendDegrees: 90,
      openShare: 0.4,
    },
  ],
  bath: 'bright-copper',
  averageThicknessMicrometres: 300,
  currentDensityAmpsPerDm2: 2,
  supplyAmpsMax: 30,
};

/** A part of which nothing is known but its area. */
export function typedArea(areaDm2: number, pieces = 1): PlanRequest['parts'] {
  return [{ name: 'part', pieces, areaDm2, areaFrom: 'typed in' }];
}

export function planned(request: PlanRequest): Plan {
  const reading = planOf(request);
  if ('faults' in reading) throw new Error(reading.faults.join(' '));
  return reading.plan;
}

export function figuresFor(request: PlanRequest): PlanFigures {
  return planned(request).figures;
}

export function faultsOf(request: PlanRequest): readonly string[] {
  const reading = planOf(request);
  return 'faults' in reading ? reading.faults : [];
}
