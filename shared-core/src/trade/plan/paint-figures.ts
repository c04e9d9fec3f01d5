/* How much conductive paint and thinner the parts take. Called by plan.ts; empty for a part that is metal already (dry thickness 0). */
import { type Figure, given, input, inputOf } from '../figure.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';

export interface PaintFigures {
  readonly paintMillilitres: Figure;
  readonly thinnerMillilitres: Figure;
}

/** Two coats of 25 µm; a third of the can is solid; a third misses the part; a fifth of thinner. Common practice, no source: the can says it. */
const usualPaint = { dryMicrometres: 50, solidsShare: 0.3, lossShare: 0.3, thinnerShare: 0.2 } as const;
const source = 'arithmetic; what is assumed is common practice, no source: the label of the paint says it';

/** Dry paint on the part, in µm, under the deposit. */
export function dryPaintMicrometres(basis: PlanBasis) {
  return given(basis.request.paint?.dryMicrometres, usualPaint.dryMicrometres);
}

export function paintFigures(basis: PlanBasis, deposit: DepositFigures): PaintFigures | undefined {
  const asked = basis.request.paint ?? {};
  const dry = dryPaintMicrometres(basis);
  if (dry.value === 0) return undefined;
  const solids = given(asked.solidsShare, usualPaint.solidsShare);
  const loss = given(asked.lossShare, usualPaint.lossShare);
  const thinner = given(asked.thinnerShare, usualPaint.thinnerShare);
  const percent = (share: typeof solids) => ({ ...share, value: 100 * share.value });
  // 1 µm on 1 dm² is 0.01 mL.
  const paintMillilitres: Figure = {
    label: 'Conductive paint',
    value: (basis.areaDm2 * dry.value * 0.01) / solids.value / (1 - loss.value),
    unit: 'mL',
    formula: 'area × dry thickness ÷ share of solids ÷ (1 − what misses the part)',
    inputs: [
      inputOf(deposit.areaDm2),
      input('Dry thickness', dry, 'µm'),
      input('Solids by volume', percent(solids), '%'),
      input('Misses the part', percent(loss), '%'),
    ],
    source,
  };
  return {
    paintMillilitres,
    thinnerMillilitres: {
      label: 'Thinner',
      value: paintMillilitres.value * thinner.value,
      unit: 'mL',
      formula: 'paint × share of thinner',
      inputs: [inputOf(paintMillilitres), input('Thinner for the paint', percent(thinner), '%')],
      source,
    },
  };
}
