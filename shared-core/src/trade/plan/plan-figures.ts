/*
 * All figures of a plan by group, and the groups in the order in which a person reads them. Made by plan.ts, read by its warnings, the job sheet, the
 * command and the page. A group that nobody gave enough for is undefined.
 */
import type { Figure } from '../figure.js';
import type { AnodeFigures } from './anode-figures.js';
import type { ConductorFigures } from './conductor-figures.js';
import type { CostFigures } from './cost-figures.js';
import type { DepositFigures } from './deposit-figures.js';
import type { DistributionFigures } from './distribution-figures.js';
import type { HeatFigures } from './heat-figures.js';
import type { PaintedStartFigures } from './painted-start-figures.js';
import type { PaintFigures } from './paint-figures.js';
import type { SecondLayerFigures } from './second-layer-figures.js';
import type { SizeFigures } from './size-figures.js';
import type { SupplyFigures } from './supply-figures.js';
import type { TankFigures } from './tank-figures.js';
import type { VoltageFigures } from './voltage-figures.js';

export interface PlanFigures {
  readonly deposit: DepositFigures;
  readonly distribution: DistributionFigures;
  readonly supply: SupplyFigures | undefined;
  readonly voltage: VoltageFigures;
  readonly anodes: AnodeFigures;
  readonly conductors: ConductorFigures;
  readonly paintedStart: PaintedStartFigures | undefined;
  readonly paint: PaintFigures | undefined;
  readonly tank: TankFigures;
  readonly heat: HeatFigures | undefined;
  readonly size: SizeFigures;
  readonly cost: CostFigures;
  readonly secondLayer: SecondLayerFigures | undefined;
}

export type FigureGroup = keyof PlanFigures;

/** In the order of reading. */
export const figureGroups: readonly { readonly group: FigureGroup; readonly title: string }[] = [
  { group: 'deposit', title: 'Current, charge and time' },
  { group: 'distribution', title: 'Where it grows thin and thick' },
  { group: 'supply', title: 'Supply' },
  { group: 'voltage', title: 'Voltage' },
  { group: 'anodes', title: 'Anodes' },
  { group: 'conductors', title: 'Cable and shunt' },
  { group: 'paint', title: 'Paint' },
  { group: 'paintedStart', title: 'Contacts on the paint' },
  { group: 'tank', title: 'Tank' },
  { group: 'heat', title: 'Warmth and water over the night' },
  { group: 'size', title: 'Size' },
  { group: 'secondLayer', title: 'Second layer by pen' },
  { group: 'cost', title: 'What it uses up' },
];

/** The figures of a group by name, those that are there. */
export function figuresOf(figures: PlanFigures, group: FigureGroup): readonly (readonly [string, Figure])[] {
  return Object.entries(figures[group] ?? {}) as [string, Figure][];
}
