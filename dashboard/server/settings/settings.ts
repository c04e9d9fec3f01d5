/*
 * Settings of the program from command line and environment, checked before anything starts: every fault is listed at once.
 */
import { homedir } from 'node:os';
import { join } from 'node:path';

export interface Settings {
  readonly port: number;
  readonly host: string;
  readonly mqttPort: number;
  readonly mqttHost: string;
  readonly dataFolder: string;
  readonly speed: number;
  readonly virtualBath: boolean;
  readonly help: boolean;
}

export const helpText = `npm start -- [options]            (or the environment variable)

  --port N          port of the page, 4180; the next free one when taken   BATHKEEPER_PORT
  --host ADDRESS    where the page listens, 0.0.0.0                        BATHKEEPER_HOST
  --mqtt-port N     port for controllers, 1883; the next free one          BATHKEEPER_MQTT_PORT
  --mqtt-host ADDR  where controllers connect, 0.0.0.0                     BATHKEEPER_MQTT_HOST
  --data FOLDER     where the data lies, ~/.local/share/bathkeeper         BATHKEEPER_DATA
  --speed N         a virtual bath N times faster than real time, 1 to 600 BATHKEEPER_SPEED
  --no-virtual-bath never start a virtual bath                             BATHKEEPER_NO_VIRTUAL_BATH=1
  --help            this text`;

/** The settings, or everything that is wrong with them, each a whole sentence. */
export function settingsFrom(
  args: readonly string[],
  environment: Readonly<Record<string, string | undefined>>,
): Settings | string[] {
  const problems: string[] = [];
  const given = new Map<string, string>();
  const valued = new Set(['port', 'host', 'mqtt-port', 'mqtt-host', 'data', 'speed']);
  for (let index = 0; index < args.length; index++) {
    const [name = '', inline] = args[index]!.replace(/^--/, '').split(/=(.*)/s, 2);
    if (args[index]!.startsWith('--') && valued.has(name)) {
      const value = inline ?? args[++index];
      if (value === undefined) problems.push(`--${name}: expected a value after it.`);
      else given.set(name, value);
    } else if (args[index] === '--no-virtual-bath' || args[index] === '--help') given.set(name, '1');
    else problems.push(`${args[index]!}: there is no such option. --help lists them.`);
  }
  const text = (name: string, variable: string, usual: string): string =>
    given.get(name) ?? environment[variable] ?? usual;
  const number = (
    name: string,
    variable: string,
    usual: number,
    least: number,
    most: number,
    whole: boolean,
  ): number => {
    const value = text(name, variable, String(usual));
    const parsed = Number(value);
    if (value.trim() === '' || !(parsed >= least && parsed <= most) || (whole && !Number.isInteger(parsed))) {
      problems.push(
        `--${name} (${variable}): expected a ${whole ? 'whole ' : ''}number from ${String(least)} to ${String(most)}, got "${value}".`,
      );
      return usual;
    }
    return parsed;
  };
  const settings: Settings = {
    port: number('port', 'BATHKEEPER_PORT', 4180, 0, 65_535, true),
    host: text('host', 'BATHKEEPER_HOST', '0.0.0.0'),
    mqttPort: number('mqtt-port', 'BATHKEEPER_MQTT_PORT', 1883, 0, 65_535, true),
    mqttHost: text('mqtt-host', 'BATHKEEPER_MQTT_HOST', '0.0.0.0'),
    dataFolder: text('data', 'BATHKEEPER_DATA', join(homedir(), '.local', 'share', 'bathkeeper')),
    speed: number('speed', 'BATHKEEPER_SPEED', 1, 1, 600, false),
    virtualBath: !given.has('no-virtual-bath') && environment.BATHKEEPER_NO_VIRTUAL_BATH !== '1',
    help: given.has('help'),
  };
  if (settings.dataFolder.trim() === '') problems.push('--data (BATHKEEPER_DATA): expected a folder, got nothing.');
  return problems.length > 0 ? problems : settings;
}
