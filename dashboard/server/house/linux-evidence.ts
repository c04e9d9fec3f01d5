/*
 * Linux: will this computer sleep, restart for an update, and come back after a power cut? Asked by computer-evidence.ts. What cannot be seen
 * from here (the firmware's settings) is unknown, with words that say how to look.
 */
import {
  type ComputerEvidence,
  type ComputerQuestions,
  type Evidence,
  good,
  missing,
  unknown,
} from './computer-questions.js';

export async function linuxEvidence(ask: ComputerQuestions): Promise<ComputerEvidence> {
  const [sleep, automaticUpdate, startsAfterPowerCut, clock] = await Promise.all([
    sleepEvidence(ask),
    updateEvidence(ask),
    startEvidence(ask),
    clockEvidence(ask),
  ]);
  return { sleep, automaticUpdate, startsAfterPowerCut, clock };
}

const MASK = 'sudo systemctl mask sleep.target suspend.target hibernate.target hybrid-sleep.target';

async function sleepEvidence(ask: ComputerQuestions): Promise<Evidence> {
  const states = (await ask.text('/sys/power/state'))?.trim();
  if (states === '') return good('The kernel of this computer knows no sleep.');
  const target = (await ask.run('systemctl', ['is-enabled', 'sleep.target', 'suspend.target']))?.trim().split('\n');
  if (target?.length === 2 && target.every((one) => one === 'masked'))
    return good('Sleep is switched off for good (its targets are masked).');
  const inhibitors = (await ask.run('systemd-inhibit', ['--list', '--no-legend', '--no-pager'])) ?? '';
  // WHO UID USER PID COMM WHAT WHY MODE; only what blocks counts, a delay ends.
  if (inhibitors.split('\n').some((line) => /\bsleep\b/.test(line) && /\bblock\s*$/.test(line)))
    return good('Another program keeps this computer from sleeping, as long as that runs (systemd-inhibit --list).');
  const logind = await ask.run('systemd-analyze', ['cat-config', 'systemd/logind.conf']);
  if (logind === undefined)
    return unknown(
      `Whether this computer sleeps cannot be seen from here. Look in its power settings; with systemd: ${MASK}`,
    );
  const setting = (name: string, usual: string): string =>
    [...logind.matchAll(new RegExp(`^\\s*${name}\\s*=\\s*(\\S+)`, 'gm'))].at(-1)?.[1] ?? usual;
  const idle = setting('IdleAction', 'ignore');
  if (idle !== 'ignore' && idle !== 'lock')
    return missing(
      `This computer goes to ${idle} when nobody uses it (IdleAction in logind.conf). So that it stays awake: ${MASK}`,
    );
  const hasLid = (await ask.names('/proc/acpi/button/lid')).length > 0;
  if (hasLid && setting('HandleLidSwitch', 'suspend') !== 'ignore')
    return missing(`It sleeps when its lid is closed. So that it stays awake: ${MASK}`);
  const defaultTarget = (await ask.run('systemctl', ['get-default']))?.trim();
  if (defaultTarget === 'graphical.target')
    return missing(
      `A desktop may put this computer to sleep when nobody uses it, and this cannot be seen from here. So that it stays awake: ${MASK}`,
    );
  if (defaultTarget === 'multi-user.target')
    return good('Nothing puts this computer to sleep: no desktop, no lid, and no idle action.');
  return unknown(`What may put this computer to sleep is not known. So that it stays awake: ${MASK}`);
}

async function updateEvidence(ask: ComputerQuestions): Promise<Evidence> {
  const apt = await ask.run('apt-config', ['dump']);
  if (apt !== undefined && apt.trim() !== '') {
    const value = (name: string): string | undefined =>
      new RegExp(`^${name.replaceAll('.', '\\.')} "([^"]*)";`, 'm').exec(apt)?.[1]?.toLowerCase();
    const isOn = (text: string | undefined): boolean =>
      text !== undefined && !['', '0', 'false', 'no', 'off'].includes(text);
    if (!isOn(value('APT::Periodic::Unattended-Upgrade'))) return good('Updates are not installed by themselves.');
    if (!isOn(value('Unattended-Upgrade::Automatic-Reboot')))
      return good('Updates are installed by themselves, and do not restart this computer.');
    const time = value('Unattended-Upgrade::Automatic-Reboot-Time') ?? 'at once';
    return missing(
      `Updates restart this computer by themselves (${time}). Set Unattended-Upgrade::Automatic-Reboot "false" in /etc/apt/apt.conf.d.`,
    );
  }
  const timers = [
    'dnf-automatic-install.timer',
    'dnf-automatic.timer',
    'rpm-ostreed-automatic.timer',
    'transactional-update.timer',
  ];
  const states = (await ask.run('systemctl', ['is-enabled', ...timers]))?.trim().split('\n');
  if (states?.some((state) => state === 'enabled') === true)
    return missing(
      'Updates are installed by themselves, and may restart this computer. Look at its update timer (systemctl list-timers), and stop it for the night.',
    );
  return unknown('Whether updates restart this computer by themselves is not known. Look in its update settings.');
}

async function startEvidence(ask: ComputerQuestions): Promise<Evidence> {
  const program = await programEvidence(ask);
  if (program.state !== 'good') return program;
  const model = (await ask.text('/proc/device-tree/model'))?.replaceAll('\0', '').trim();
  if (model !== undefined && model !== '')
    return good(`${program.words} A board like this one (${model}) starts when its power comes back.`);
  const supplies = await ask.names('/sys/class/power_supply');
  if (supplies.some((name) => name.startsWith('BAT')))
    return good(`${program.words} A battery carries this computer over a cut; plug it in for the night.`);
  return unknown(
    `${program.words} Whether this computer switches itself on when its power comes back is a setting of its firmware (often called "restore on AC power loss"), which cannot be seen from here. Try it once: pull the plug, put it back.`,
  );
}

/** Does the program start with the computer? */
async function programEvidence(ask: ComputerQuestions): Promise<Evidence> {
  const cgroup = await ask.text('/proc/self/cgroup');
  if (cgroup === undefined)
    return unknown(
      'Whether the program starts with this computer cannot be seen from here. Make it a service, and try it once: pull the plug, put it back.',
    );
  if (
    /docker|containerd|libpod|kubepods/.test(cgroup) ||
    (await ask.text('/run/.containerenv')) !== undefined ||
    (await ask.names('/')).includes('.dockerenv')
  )
    return unknown(
      'The program runs in a container; whether that starts by itself is its restart policy (expected: always, or unless-stopped).',
    );
  const units = [...cgroup.matchAll(/([\w@.\\-]+\.service)/g)].map((match) => match[1]!);
  const unit = units.at(-1);
  const isOfUser = units.some((one) => one.startsWith('user@'));
  // A shell on a screen or over the network is a unit as well, and no service of this program.
  if (
    unit === undefined ||
    unit.startsWith('user@') ||
    /\/session-[^/]*\.scope/.test(cgroup) ||
    /^(gnome|plasma|xfce|dbus|ssh|app-|vte-)/.test(unit)
  )
    return missing(
      'The program was started by hand and does not start with this computer. Make it a service: see "Start with the computer" in the README.',
    );
  const state = (await ask.run('systemctl', [...(isOfUser ? ['--user'] : []), 'is-enabled', unit]))?.trim();
  if (state !== 'enabled' && state !== 'enabled-runtime')
    return missing(
      `The program runs as ${unit}, which does not start with this computer (${state === '' || state === undefined ? 'no answer' : state}). Type: systemctl ${isOfUser ? '--user ' : ''}enable ${unit}`,
    );
  if (isOfUser && (await ask.run('loginctl', ['show-user', '--property=Linger', '--value']))?.trim() !== 'yes')
    return missing(
      `The program runs as ${unit} of a user and starts only when that user logs in. Type: loginctl enable-linger`,
    );
  return good(`The program starts with this computer (${unit}).`);
}

async function clockEvidence(ask: ComputerQuestions): Promise<Evidence> {
  const synchronised = (await ask.run('timedatectl', ['show', '--property=NTPSynchronized', '--value']))?.trim();
  if (synchronised === 'yes') return good('The clock is set by the network.');
  if (synchronised === 'no')
    return missing(
      'The clock is not set by the network at the moment. Type: sudo timedatectl set-ntp true, and look at it again in a minute.',
    );
  const tracking = await ask.run('chronyc', ['-n', 'tracking']);
  if (tracking !== undefined && /^Leap status\s*:\s*Normal/m.test(tracking))
    return good('The clock is set by the network.');
  return unknown('Whether the clock is set by the network is not known. Compare it with another one.');
}
