/* What was typed after `npm run backup` or `npm run restore`: one file, and whose store. Both commands read it here; pure but for the name of the home folder. */
import { parseArgs } from 'node:util';
import { fromWhereTyped, usualDataFolder } from '../settings/typed-folder.js';

export interface StoreCommand {
  /** Whole path of the backup. */
  readonly file: string;
  /** Of the store. */
  readonly dataFolder: string;
}

/**
 * The command, or the words to end with: exit code 0 after `--help`, 2 where it makes no sense.
 *
 * @example
 * storeCommand(['monday.sqlite', '--data', '/srv/bath'], { INIT_CWD: '/home/kim' }, 'usage');
 * // { file: '/home/kim/monday.sqlite', dataFolder: '/srv/bath' }
 */
export function storeCommand(
  args: readonly string[],
  environment: NodeJS.ProcessEnv,
  usage: string,
): StoreCommand | { readonly words: string; readonly exitCode: 0 | 2 } {
  const refused = (why: string) => ({ words: `${why}\n\n${usage}\n`, exitCode: 2 as const });
  const read = parsed(args);
  if (typeof read === 'string') return refused(read);
  const { values, positionals } = read;
  if (values.help === true) return { words: `${usage}\n`, exitCode: 0 };
  const [file, ...more] = positionals;
  if (file === undefined || file === '' || more.length > 0)
    return refused(`Expected the name of one file, got ${positionals.length === 0 ? 'none' : `“${positionals.join('”, “')}”`}.`); // prettier-ignore
  if (values.data === '') return refused('--data: expected a folder, got nothing.');
  return {
    file: fromWhereTyped(file, environment),
    // The variable is read as the dashboard reads it, so that one value names one folder.
    dataFolder:
      values.data === undefined
        ? (environment.BATHKEEPER_DATA ?? usualDataFolder())
        : fromWhereTyped(values.data, environment),
  };
}

function parsed(args: readonly string[]) {
  const options = { data: { type: 'string' }, help: { type: 'boolean', short: 'h' } } as const;
  try {
    return parseArgs({ args: [...args], options, allowPositionals: true });
  } catch (fault) {
    return (fault as Error).message;
  }
}
