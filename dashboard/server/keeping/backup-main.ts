/* `npm run backup -- FILE`: copies the store of the data folder into FILE, also while the dashboard runs. */
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { STORE_FILE } from '../store/store.js';
import { backUp } from './backup.js';
import { noteBackup } from './newest-backup.js';

const [to, ...more] = process.argv.slice(2);
const folder = process.env.BATHKEEPER_DATA ?? join(homedir(), '.local', 'share', 'bathkeeper');
if (to === undefined || more.length > 0 || to.startsWith('-')) {
  process.stderr.write(
    'npm run backup -- FILE: expected the name of one new file. The data folder is BATHKEEPER_DATA.\n',
  );
  process.exit(2);
}
try {
  const { holds, bytes } = backUp(join(folder, STORE_FILE), to);
  const isNoted = noteBackup(folder, { madeAtMs: Date.now(), file: resolve(to), bytes, holds });
  process.stdout.write(
    `The store was copied to ${to} and read back: ${String(holds.runs)} runs.${isNoted ? '' : ' The page will not know of it: its note in the data folder could not be written.'} Secrets are files of their own and not in it: in another folder controllers are paired again.\n`,
  );
} catch (fault) {
  process.stderr.write(`No backup was made. ${(fault as Error).message}\n`);
  process.exit(1);
}
