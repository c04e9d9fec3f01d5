/* A plan as a file that another program reads, the same as the command gives, and its name. Used by the plan's room; pure. */
import { partsOfPlan, type Plan, planExport, type UnitSystem } from '@bathkeeper/shared-core/trade';

const longestName = 60;

/** Two spaces of indent, as of `npm run plan -- --json`. Its units stand in it. */
export function planFileText(plan: Plan, units: UnitSystem): string {
  return `${JSON.stringify(planExport(plan, units), null, 2)}\n`;
}

/** Only what every file system takes. Example: of "2 × leaf, Glocke" "plan-2-leaf-glocke.json". */
export function planFileName(plan: Plan): string {
  const words = partsOfPlan(plan)
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '')
    .slice(0, longestName);
  return words === '' ? 'plan.json' : `plan-${words}.json`;
}
