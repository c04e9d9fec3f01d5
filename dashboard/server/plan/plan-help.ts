/* What `npm run plan -- --help` prints: every option, shape and bath, in the units that a person types. Called by plan-command.ts. */
import { shapeDimensions } from '@bathkeeper/shared-core/part';
import { bathProfiles, type UnitSystem, unitName } from '@bathkeeper/shared-core/trade';
import { agitations, lengthUnits, penNames, shapeKinds } from './choices.js';
import { numberOptions } from './number-options.js';

/** In the units that `--units` names. */
export function planHelp(units: UnitSystem = 'metric'): string {
  const line = (flag: string, help: string): string => `  ${flag.padEnd(30)} ${help}`;
  const length = unitName('mm', units);
  return [
    'npm run plan -- part.stl --thickness 300 --density 2 --bath bright-copper --supply 30',
    '',
    'Everything that a night in the bath needs, from the part’s model (STL, OBJ, 3MF), with the reason for every number.',
    '',
    'The part, once or more:',
    line('part.stl', 'a model file'),
    line(`--shape KIND:AxB…  ${length}`, 'or a simple shape:'),
    ...shapeKinds.map((kind) =>
      line('', `  ${kind}:${shapeDimensions[kind].map((each) => each.words.toLowerCase()).join(' x ')}`),
    ),
    line(`--area N  ${unitName('dm²', units)}`, 'or a plated area'),
    line('--pieces N[,N…]', 'how many of each'),
    line(`--masked N[,N…]  ${unitName('dm²', units)}`, 'what of one piece is not plated'),
    line(`--volume N[,N…]  ${unitName('cm³', units)}`, 'of one piece, where the model does not tell'),
    line('--unit NAME', `of a file that says none: ${lengthUnits.join(', ')}; millimeter`),
    line('--scale N', 'or millimetres a unit, whatever the file says'),
    '',
    'The run:',
    line('--bath NAME', 'one of these; else the first:'),
    ...bathProfiles.map((each) => line('', `  ${each.key}: ${each.purpose}`)),
    ...numberOptions.map((each) =>
      line(
        `${each.flag} N  ${each.unit === 'money' || each.unit === '1' ? '' : unitName(each.unit, units)}`,
        each.help,
      ),
    ),
    line('--agitation HOW', `${agitations.join(', ')}; moving`),
    line(`--tank LxWxH,FILL  ${length}`, 'inside: length x width x height to the rim, level of the liquid'),
    line('--shunt AMPS/MILLIVOLTS', '50/75'),
    line('--pen NAME', `second layer by pen: ${penNames.join(', ')}`),
    line(`--rig AMPS,VOLTS,${unitName('°C', units)},HOURS`, 'limits of the rig, to check the recipe against'),
    '',
    'The answer:',
    line('--units metric|imperial', 'of what is typed and shown; metric'),
    line('--explain', 'each figure with its formula, inputs and source'),
    line('--json', 'for another program, every figure with its unit'),
    line('--help', 'this text (with --units imperial: in those)'),
    '',
    'Ends with 1 when a file cannot be read or a thickness is claimed that cannot be, with 2 when it was asked for something that makes no sense.',
  ].join('\n');
}
