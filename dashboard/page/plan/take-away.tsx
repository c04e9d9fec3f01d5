/* What of a plan is taken away from the page: the job sheet on paper, and a file with every figure and its unit. Part of the plan's room. */
import type { Plan, UnitSystem } from '@bathkeeper/shared-core/trade';
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
        onClick={() => download(planFileName(plan), planFileText(plan, units), 'application/json')}
      >
        Save it as a file (JSON)
      </button>
    </div>
  );
}

function download(name: string, text: string, type: string): void {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has begun to read it by then; what was not given back would stay in memory as long as the page.
  setTimeout(() => URL.revokeObjectURL(address));
}
