/* `npm run restore -- BACKUP`: puts a backup in the place of the store, while no dashboard runs. */
import { mkdirSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { restore } from './restore.js';

const [from, ...more] = process.argv.slice(2);
const folder = process.env.BATHKEEPER_DATA ?? join(homedir(), '.local', 'share', 'bathkeeper');
if (from === undefined || more.length > 0 || from.startsWith('-')) {
  process.stderr.write('npm run restore -- BACKUP: expected the name of one backup. The data folder is BATHKEEPER_DATA.\n'); // prettier-ignore
  process.exit(2);
}
try {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const { holds, keptAs } = restore(folder, from, Date.now());
  const newest =
    holds.newestAtMs === undefined ? 'no record' : `records until ${new Date(holds.newestAtMs).toString()}`;
  process.stdout.write(
    `The store is now a copy of ${from}: ${String(holds.runs)} runs, ${newest}, controllers ${holds.controllers.join(', ') || 'none'}.\n` +
      (keptAs === undefined
        ? 'There was no store before.\n'
        : `The one before is kept as ${keptAs}. To go back, restore that.\n`) +
      'Start the dashboard. Controllers send what they still hold; secrets are not in a backup, so that in another folder they are paired again.\n',
  );
} catch (fault) {
  process.stderr.write(`Nothing was changed. ${(fault as Error).message}\n`);
  process.exit(1);
}
