/*
 * A plan as a file that another program reads: every figure with its unit. Called by the command (`--json`) and the page. The names at the top say their
 * units themselves and are always metric; a person's own units stand beside each figure.
 */
import type { RecipeRequest } from '../../messages/api.js';
import { inUnits, type UnitSystem } from '../units.js';
import type { Figure } from '../figure.js';
import type { Plan } from './plan.js';
import { figureGroups, figuresOf } from './plan-figures.js';
import type { PlanNightPoint } from './plan-night.js';
import { recipeRequestOf } from './recipe-from-plan.js';

export interface ExportedFigure extends Figure {
  readonly group: string;
  /** The value in the person's units, where they are not these. */
  readonly shown?: { readonly value: number; readonly unit: string };
}

export interface PlanExport {
  /** What the shown values are in; all others are metric. */
  readonly units: UnitSystem;
  readonly bath: string;
  readonly pieces: number;
  /** Of all pieces, as everything below. */
  readonly areaDm2: number;
  /** Null where the surface bounds no volume or nobody gave one. */
  readonly volumeCm3: number | null;
  /** Null without a model or a shape. */
  readonly isClosed: boolean | null;
  readonly setPointAmps: number;
  readonly chargeAmpereHours: number;
  readonly plateHours: number;
  readonly runHours: number;
  readonly depositMassGrams: number;
  readonly averageThicknessMicrometres: number;
  readonly thinPlaceMicrometres: number;
  readonly edgeMicrometres: number;
  readonly claimRefusal: string | null;
  readonly warnings: readonly string[];
  readonly gaps: readonly string[];
  readonly parts: Plan['request']['parts'];
  /** What the dashboard makes the recipe from. */
  readonly recipeRequest: RecipeRequest;
  /** What the rig says to it; null where nobody gave its limits. */
  readonly rig: RigWords | null;
  readonly figures: Readonly<Record<string, ExportedFigure>>;
  readonly night: readonly PlanNightPoint[];
}

/** In whole sentences; nothing refused: the recipe can be sent. */
export interface RigWords {
  readonly refusals: readonly string[];
  readonly cautions: readonly string[];
}

export function planExport(plan: Plan, units: UnitSystem = 'metric', rig?: RigWords): PlanExport {
  const { request, figures, profile } = plan;
  const { deposit, distribution } = figures;
  const { parts } = request;
  const closed = parts.map((part) => part.isClosed);
  const volumes = parts.map((part) => part.volumeCm3);
  return {
    units,
    bath: profile.key,
    pieces: parts.reduce((sum, part) => sum + part.pieces, 0),
    areaDm2: deposit.areaDm2.value,
    volumeCm3: volumes.every((each) => each !== undefined)
      ? parts.reduce((sum, part) => sum + part.pieces * (part.volumeCm3 ?? 0), 0)
      : null,
    isClosed: closed.every((each) => each !== undefined) ? closed.every(Boolean) : null,
    setPointAmps: deposit.setPointAmps.value,
    chargeAmpereHours: deposit.chargeAmpereHours.value,
    plateHours: deposit.plateHours.value,
    runHours: deposit.runHours.value,
    depositMassGrams: deposit.depositMassGrams.value,
    averageThicknessMicrometres: deposit.averageThicknessMicrometres.value,
    thinPlaceMicrometres: distribution.thinPlaceMicrometres.value,
    edgeMicrometres: distribution.edgeMicrometres.value,
    claimRefusal: plan.claimRefusal ?? null,
    warnings: plan.warnings.map((each) => each.words),
    gaps: plan.gaps,
    parts,
    recipeRequest: recipeRequestOf(plan),
    rig: rig ?? null,
    figures: Object.fromEntries(
      figureGroups.flatMap(({ group }) =>
        figuresOf(figures, group).map(([name, figure]) => [name, { group, ...figure, ...shownIn(figure, units) }]),
      ),
    ),
    night: plan.night,
  };
}

function shownIn(figure: Figure, units: UnitSystem): Pick<ExportedFigure, 'shown'> {
  const shown = inUnits(figure.value, figure.unit, units);
  return shown.unit === figure.unit ? {} : { shown };
}
