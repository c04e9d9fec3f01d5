/*
 * `npm run plan`: from arguments to text and an exit code. Called by main.ts, and by tests without a process. Writes nothing itself.
 */
import { inWords, jobSheet, planExport, planOf, recipeFromPlan } from '@bathkeeper/shared-core/trade';
import { partsInBath, type ReadFile, UnusablePart } from './named-parts.js';
import { planHelp } from './plan-help.js';
import { planOptions, unitsAsked } from './plan-options.js';

export interface CommandOutcome {
  readonly out: string;
  /** For people, beside the answer. */
  readonly err: string;
  /** 0; 1: a file cannot be read, or what was claimed cannot be; 2: it was asked for something that makes no sense. */
  readonly exitCode: 0 | 1 | 2;
}

/**
 * @example
 * planCommand(['bell.stl', '--thickness', '300', '--bath', 'bright-copper'], readFileSync).exitCode; // 0
 */
export function planCommand(args: readonly string[], readFile: ReadFile): CommandOutcome {
  if (args.includes('--help')) {
    return { out: `${planHelp(unitsAsked(args))}\n`, err: '', exitCode: 0 };
  }
  const options = planOptions(args);
  if ('faults' in options) return refused(options.faults);
  let parts;
  try {
    parts = partsInBath(options, readFile);
  } catch (fault) {
    if (fault instanceof UnusablePart) return { out: '', err: `${fault.message}\n`, exitCode: 1 };
    throw fault;
  }
  const reading = planOf({ ...options.request, parts });
  if ('faults' in reading) return refused(reading.faults.map((each) => inWords(each, options.units)));
  const { plan } = reading;
  const rig = options.rig === undefined ? undefined : recipeFromPlan(plan, options.rig, 1, 0).preview;
  const exitCode = plan.claimRefusal === undefined ? 0 : 1;
  const err = plan.claimRefusal === undefined ? '' : `${inWords(plan.claimRefusal, options.units)}\n`;
  if (options.isJson) {
    return {
      out: `${JSON.stringify(planExport(plan, options.units, rig === undefined ? undefined : { refusals: rig.refusals, cautions: rig.cautions }), null, 2)}\n`,
      err,
      exitCode,
    };
  }
  return { out: jobSheet(plan, { units: options.units, isExplained: options.isExplained, rig }), err, exitCode };
}

function refused(faults: readonly string[]): CommandOutcome {
  return { out: '', err: `${faults.join('\n')}\n`, exitCode: 2 };
}
