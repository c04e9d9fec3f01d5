/* `npm run backup -- FILE`: copies the store of the data folder into FILE, also while the dashboard runs. */
import { join } from 'node:path';
import { STORE_FILE } from '../store/store.js';
import { backUp } from './backup.js';
import { noteBackup } from './newest-backup.js';
import { storeCommand } from './store-command.js';

const usage = `npm run backup -- FILE [--data FOLDER]

  FILE           a new file, in the folder in which you type this unless it names another
  --data FOLDER  where the data lies; else what BATHKEEPER_DATA says, else ~/.local/share/bathkeeper
  --help         this text

Copies the store into FILE, also while the dashboard runs, and reads it back.`;

const command = storeCommand(process.argv.slice(2), process.env, usage);
if ('words' in command) {
  (command.exitCode === 0 ? process.stdout : process.stderr).write(command.words);
  process.exit(command.exitCode);
}
const { file, dataFolder } = command;
try {
  const { holds, bytes } = backUp(join(dataFolder, STORE_FILE), file);
  const isNoted = noteBackup(dataFolder, { madeAtMs: Date.now(), file, bytes, holds });
  process.stdout.write(
    `The store was copied to ${file} and read back: ${String(holds.runs)} runs.${isNoted ? '' : ' The page will not know of it: its note in the data folder could not be written.'} Secrets are files of their own and not in it: in another folder controllers are paired again.\n`,
  );
} catch (fault) {
  process.stderr.write(`No backup was made. ${(fault as Error).message}\n`);
  process.exit(1);
}
