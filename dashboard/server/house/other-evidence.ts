/*
 * Windows and macOS: will this computer sleep, restart for an update, and come back after a power cut? Asked by computer-evidence.ts, by the
 * systems' own small programs; written from their documentation and tested with examples of their answers, not on such computers.
 */
import {
  type ComputerEvidence,
  type ComputerQuestions,
  type Evidence,
  good,
  missing,
  unknown,
} from './computer-questions.js';

export async function windowsEvidence(ask: ComputerQuestions, nowMs: number): Promise<ComputerEvidence> {
  const standby = await ask.run('powercfg', ['/query', 'SCHEME_CURRENT', 'SUB_SLEEP', 'STANDBYIDLE']);
  // The words are in the system's language; the last two numbers are plugged in and on battery, in seconds.
  const seconds = [...(standby ?? '').matchAll(/0x([0-9a-f]{8})/gi)].slice(-2).map((match) => parseInt(match[1]!, 16));
  const sleep: Evidence =
    seconds.length < 2
      ? unknown('Whether this computer sleeps is not known. Look in Settings, System, Power: sleep, plugged in: never.')
      : seconds[0] === 0
        ? good('Plugged in, this computer does not go to sleep by itself.')
        : missing(
            `This computer goes to sleep after ${String(Math.round(seconds[0]! / 60))} min without anybody. Type: powercfg /change standby-timeout-ac 0`,
          );

  const settings = await ask.run('reg', [
    'query',
    'HKLM\\SOFTWARE\\Microsoft\\WindowsUpdate\\UX\\Settings',
    '/v',
    'PauseUpdatesExpiryTime',
  ]);
  const pausedUntilMs = Date.parse(/PauseUpdatesExpiryTime\s+REG_SZ\s+(\S+)/.exec(settings ?? '')?.[1] ?? '');
  const automaticUpdate: Evidence =
    pausedUntilMs > nowMs + 86_400_000
      ? good(`Updates are paused until ${new Date(pausedUntilMs).toISOString().slice(0, 10)}.`)
      : missing(
          'Windows may restart this computer for an update. Pause updates for a week: Settings, Windows Update, Pause updates.',
        );

  const time = await ask.run('w32tm', ['/query', '/status']);
  // Stratum 0 is "not synchronised" (RFC 5905); the word before it is in the system's language.
  const stratum = Number(/^[^\r\n:]*Stratum[^\r\n:]*:\s*(\d+)/im.exec(time ?? '')?.[1] ?? NaN);
  const clock: Evidence =
    stratum > 0 && stratum < 16
      ? good('The clock is set by the network.')
      : unknown(
          'Whether the clock is set by the network is not known. Settings, Time and language: set the time automatically, Sync now.',
        );
  return {
    sleep,
    automaticUpdate,
    startsAfterPowerCut: unknown(
      'Whether the program starts with this computer, and this computer when its power comes back, cannot be seen from here. The first is a task in the Task Scheduler (at start-up), the second a setting of the firmware. Try it once: pull the plug, put it back.',
    ),
    clock,
  };
}

export async function macEvidence(ask: ComputerQuestions): Promise<ComputerEvidence> {
  const power = await ask.run('pmset', ['-g', 'custom']);
  const plugged = /AC Power:([\s\S]*?)(?:\n\S|$)/.exec(power ?? '')?.[1] ?? '';
  const value = (name: string): number | undefined => {
    const found = new RegExp(`^\\s*${name}\\s+(\\d+)`, 'm').exec(plugged)?.[1];
    return found === undefined ? undefined : Number(found);
  };
  const sleepMinutes = value('sleep');
  const sleep: Evidence =
    sleepMinutes === undefined
      ? unknown(
          'Whether this computer sleeps is not known. Look in System Settings, Energy: prevent automatic sleeping.',
        )
      : sleepMinutes === 0
        ? good('Plugged in, this computer does not go to sleep by itself. A closed lid still puts a notebook to sleep.')
        : missing(
            `This computer goes to sleep after ${String(sleepMinutes)} min without anybody. Type: sudo pmset -c sleep 0`,
          );
  const install = (
    await ask.run('defaults', [
      'read',
      '/Library/Preferences/com.apple.SoftwareUpdate',
      'AutomaticallyInstallMacOSUpdates',
    ])
  )?.trim();
  const automaticUpdate: Evidence =
    install === '0'
      ? good('Updates of the system are not installed by themselves.')
      : install === '1'
        ? missing(
            'macOS installs its updates by itself and restarts for them. System Settings, General, Software Update, Automatic updates: off.',
          )
        : unknown(
            'Whether macOS installs its updates by itself is not known. System Settings, General, Software Update, Automatic updates: off.',
          );
  const restart = value('autorestart');
  const startsAfterPowerCut: Evidence =
    restart === 0
      ? missing(
          'This computer stays off after a power cut. Type: sudo pmset -c autorestart 1. Then let launchd start the program with it.',
        )
      : unknown(
          'Whether the program starts with this computer cannot be seen from here. Let launchd start it, and try it once: pull the plug, put it back.',
        );
  const network = await ask.run('systemsetup', ['-getusingnetworktime']);
  const clock: Evidence = /: On\s*$/m.test(network ?? '')
    ? good('The clock is set by the network.')
    : /: Off\s*$/m.test(network ?? '')
      ? missing('The clock is not set by the network. System Settings, General, Date & Time: set automatically.')
      : unknown(
          'Whether the clock is set by the network is not known. System Settings, General, Date & Time: set automatically.',
        );
  return { sleep, automaticUpdate, startsAfterPowerCut, clock };
}
