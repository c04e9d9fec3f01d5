/*
 * Starts `npm run plan -- part.stl --thickness 300 --bath bright-copper`. Paths are taken from where the command was typed, also when npm runs it from
 * the project's folder.
 */
import { fromWhereTyped } from '../settings/typed-folder.js';
import { withFileSource } from './file-source.js';
import { planCommand } from './plan-command.js';

const outcome = planCommand(process.argv.slice(2), (path, use) => withFileSource(fromWhereTyped(path), use));
process.stderr.write(outcome.err);
// Set, not exit(): a pipe may still be taking the answer.
process.exitCode = outcome.exitCode;
process.stdout.write(outcome.out);
