/*
 * A dashboard to be killed: raises an alarm for each line on standard input (the name of a bath) and says so when the store has it. Started by
 * call-kills.ts with the compiled server; it never ends by itself.
 */
import { createInterface } from 'node:readline';
import { createDashboard, systemClock } from '../../../dashboard/dist/server/index.js';

const clock = systemClock();
const dashboard = await createDashboard({ clock, dataFolder: process.argv[2] });
process.stdout.write('ready\n');
for await (const controllerId of createInterface({ input: process.stdin })) {
  dashboard.alarms.raise({ controllerId, name: 'trip', causeAtMs: clock.nowMs(), detail: 'seen' }, clock.nowMs());
  process.stdout.write(`raised ${controllerId}\n`);
}
