/*
 * `npm run rehearse -- --hours 10 --seed 1 --fault rotation-stall@03:10 --json`: plays a night and sums it up.
 * Ends with 1 when the night had a problem of its own, with 2 when it was asked for something that does not exist.
 */
import { faultKinds, faultNames, parseFault, type ScheduledFault } from '@bathkeeper/firmware/bench';
import { playBathNight } from './bath-night.js';
import { summaryText } from './night-summary.js';
import { playWholeNight } from './whole-night.js';

const help = `npm run rehearse -- [options]

  --hours N        length of the night from power-up, 10
  --seed N         same seed, same night, 1
  --fault F        NAME@HH:MM[+DURATION], may be repeated: rotation-stall@03:10, network-loss@02:00+10m
  --only-bath      firmware and bath only, without the dashboard: much faster
  --json           the summary as JSON
  --help           this text, and every fault with what it does`;

interface Asked {
  hours: number;
  seed: number;
  faults: ScheduledFault[];
  onlyBath: boolean;
  json: boolean;
}

function asked(args: readonly string[]): Asked | string[] {
  const problems: string[] = [];
  const found: Asked = { hours: 10, seed: 1, faults: [], onlyBath: false, json: false };
  for (let index = 0; index < args.length; index++) {
    const [name, inline] = args[index]!.split(/=(.*)/s, 2);
    const value = (): string => inline ?? args[++index] ?? '';
    switch (name) {
      case '--hours': {
        const text = value();
        found.hours = Number(text);
        if (!(found.hours >= 0.1 && found.hours <= 14)) problems.push(`--hours: expected 0.1 to 14, got "${text}".`);
        break;
      }
      case '--seed': {
        const text = value();
        found.seed = Number(text);
        if (!Number.isInteger(found.seed) || found.seed < 0 || text === '')
          problems.push(`--seed: expected a whole number from 0 on, got "${text}".`);
        break;
      }
      case '--fault': {
        const fault = parseFault(value());
        if (typeof fault === 'string') problems.push(fault);
        else found.faults.push(fault);
        break;
      }
      case '--only-bath':
        found.onlyBath = true;
        break;
      case '--json':
        found.json = true;
        break;
      default:
        problems.push(`${String(name)}: there is no such option.\n${help}`);
    }
  }
  return problems.length > 0 ? problems : found;
}

function faultList(): string {
  return faultNames.map((name) => `  ${name.padEnd(24)}${faultKinds[name].what}`).join('\n');
}

const args = process.argv.slice(2);
if (args.includes('--help')) {
  console.log(`${help}\n\n${faultList()}`);
  process.exit(0);
}
const night = asked(args);
if (Array.isArray(night)) {
  console.error(night.join('\n'));
  process.exit(2);
}
const summary = night.onlyBath ? playBathNight(night).summary : (await playWholeNight(night)).summary;
console.log(night.json ? JSON.stringify(summary, null, 2) : summaryText(summary));
process.exit(summary.problems.length > 0 ? 1 : 0);
