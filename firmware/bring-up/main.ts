/*
 * The second program in a board's flash: the commands of bring-up on the console. Loaded by `bringUp()` of the first one in its place, and
 * left by `leave()`, by the end of an idle hour, or by power. Everything is off when it begins and when it ends. Every
 * command says what was done, or what was expected, what it got and what to do next.
 */
import { SupplyKind } from '@bathkeeper/shared-core/control';
import { CONSOLE, openBoard, startIsDown } from '../src/boards/esp32.js';
import { FIRMWARE_VERSION } from '../src/build-info.js';
import { consoleGuard } from '../src/console.js';
import { SUPPLY_KIND } from '../src/supplies/analogue.js';
import {
  chooseClips,
  chooseProbe,
  fillGaps,
  keep,
  nameController,
  nameShunt,
  pair,
  setFitted,
  setLimits,
  setNetwork,
  setSerial,
  setTemperature,
  show,
} from './decide.js';
import { findProbes, tellSensors } from './look.js';
import { clickSecondMeans, testLatch, turnMotor } from './move.js';
import { BEAT_MS, openSession } from './session.js';
import { withCurrent } from './with-current.js';

const session = openSession(openBoard(), SUPPLY_KIND);
fillGaps(session);
const current = withCurrent(session, { startIsDown: startIsDown, detachConsole: consoleGuard(CONSOLE) });

/** Off first, then told, then the controller's own program: a fault in here is a programmer's. */
process.on('uncaughtException', function (why: unknown): void {
  session.allOff();
  print('Bring-up failed, everything is off: ' + why);
  load();
});

const commands: Record<string, (a: unknown, b: unknown, c: unknown) => void> = {};
commands['help'] = function (): void {
  print('Bring-up ' + FIRMWARE_VERSION + '. Part out of the tank, supply off. In this order:');
  print("  controller('name')  limits({...})  shunt(amps, millivolts)  fitted({...})");
  print("  sensors()  probes()  probe('...')  clips(['...'])  motor(seconds)");
  print('  latch()  contactor()  secondMeans()');
  print(
    '  current() and current(amps), twice' +
      (SUPPLY_KIND === SupplyKind.analogue ? ';  supply(code), twice' : '') +
      ';  temperature(celsius)',
  );
  print("  network('name', 'password', 'address')  pair()  show()  keep()  leave()");
};
commands['sensors'] = function (): void {
  tellSensors(session);
};
commands['probes'] = function (): void {
  findProbes(session);
};
commands['probe'] = function (rom: unknown): void {
  chooseProbe(session, rom);
};
commands['clips'] = function (roms: unknown): void {
  chooseClips(session, roms);
};
commands['motor'] = function (seconds: unknown): void {
  turnMotor(session, seconds);
};
commands['contactor'] = function (): void {
  current.click();
};
commands['secondMeans'] = function (): void {
  clickSecondMeans(session);
};
commands['latch'] = function (): void {
  testLatch(session);
};
commands['current'] = function (amps: unknown): void {
  current.meter(amps);
};
commands['supply'] = function (code: unknown): void {
  current.input(code);
};
commands['temperature'] = function (celsius: unknown): void {
  setTemperature(session, celsius);
};
commands['limits'] = function (given: unknown): void {
  setLimits(session, given);
};
commands['shunt'] = function (amps: unknown, millivolts: unknown): void {
  nameShunt(session, amps, millivolts);
};
commands['fitted'] = function (given: unknown): void {
  setFitted(session, given);
};
commands['controller'] = function (name: unknown): void {
  nameController(session, name);
};
commands['network'] = function (ssid: unknown, password: unknown, address: unknown): void {
  setNetwork(session, ssid, password, address);
};
commands['serial'] = function (baud: unknown): void {
  setSerial(session, baud);
};
commands['pair'] = function (): void {
  pair(session);
};
commands['show'] = function (): void {
  show(session);
};
commands['keep'] = function (): void {
  keep(session);
};
commands['leave'] = function (isMeant: unknown): void {
  if (session.isChanged && !isMeant) {
    print('What was changed is not in flash: keep() first, or leave(1) to forget it.');
    return;
  }
  session.allOff();
  print('Back to the controller.');
  load();
};
Object.keys(commands).map(function (name: string): void {
  global[name] = function (a: unknown, b: unknown, c: unknown): void {
    session.stir();
    commands[name]!(a, b, c);
  };
});

setInterval(session.beat, BEAT_MS);
commands['help'](0, 0, 0);
