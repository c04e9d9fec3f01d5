/* `npm run restore -- BACKUP`: puts a backup in the place of the store, while no dashboard runs. */
import { dataFolderProblem } from '../settings/data-folder.js';
import { restore } from './restore.js';
import { storeCommand } from './store-command.js';

const usage = `npm run restore -- BACKUP [--data FOLDER]

  BACKUP         a file that \`npm run backup\` or the page wrote, in the folder in which you type this unless it names another
  --data FOLDER  where the data shall lie; else what BATHKEEPER_DATA says, else ~/.local/share/bathkeeper
  --help         this text

Puts the backup in the place of the store, while no dashboard runs. The store that was there is kept beside it.`;

const command = storeCommand(process.argv.slice(2), process.env, usage);
if ('words' in command) {
  (command.exitCode === 0 ? process.stdout : process.stderr).write(command.words);
  process.exit(command.exitCode);
}
const { file, dataFolder } = command;
try {
  const problem = dataFolderProblem(dataFolder);
  if (problem !== undefined) throw new Error(problem);
  const { holds, keptAs } = restore(dataFolder, file, Date.now());
  const newest =
    holds.newestAtMs === undefined ? 'no record' : `records until ${new Date(holds.newestAtMs).toString()}`;
  process.stdout.write(
    `The store in ${dataFolder} is now a copy of ${file}: ${String(holds.runs)} runs, ${newest}, controllers ${holds.controllers.join(', ') || 'none'}.\n` +
      (keptAs === undefined
        ? 'There was no store before.\n'
        : `The one before is kept as ${keptAs}. To go back, restore that.\n`) +
      'Start the dashboard. Controllers send what they still hold; secrets are not in a backup, so that in another folder they are paired again.\n',
  );
} catch (fault) {
  process.stderr.write(`Nothing was changed. ${(fault as Error).message}\n`);
  process.exit(1);
}
