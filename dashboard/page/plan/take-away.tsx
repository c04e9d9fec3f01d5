/* What of a plan is taken away from the page: the job sheet on paper, and a file with every figure and its unit. Part of the plan's room. */
import type { Plan, UnitSystem } from '@bathkeeper/shared-core/trade';
import { download } from '../forms/download.js';
import { JOB_SHEET_ADDRESS } from '../state/route.js';
import { planFileName, planFileText } from './plan-file.js';

export function TakeAway(props: { plan: Plan; units: UnitSystem }) {
  const { plan, units } = props;
  return (
    <div class="row take-away">
      <a class="target" href={JOB_SHEET_ADDRESS}>
        Job sheet to print
      </a>
      <button
        type="button"
        class="quiet"
        onClick={() =>
          download(planFileName(plan), new Blob([planFileText(plan, units)], { type: 'application/json' }))
        }
      >
        Save it as a file (JSON)
      </button>
    </div>
  );
}
