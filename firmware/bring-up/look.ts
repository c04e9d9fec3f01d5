/*
 * Commands that look and move nothing: `sensors()` says of each part whether it is there and what it reads, `probes()` which
 * thermometers hang on the wire. Called from the console.
 */
import { MonitorFault, ProbeFault, SupplyKind } from '@bathkeeper/shared-core/control';
import { BringUpStep } from '@bathkeeper/shared-core/messages';
import { scratchpadFault, temperatureRaw } from '../src/drivers/ds18b20.js';
import { ferroelectricMemory } from '../src/drivers/mb85rc256v.js';
import { codeFault, writeCode } from '../src/drivers/mcp4725.js';
import type { TwoWireBus } from '../src/ports.js';
import { zeroPowerUpCode } from './power-up-code.js';
import { isWithin, type Session, shown } from './session.js';

const MONITOR_FAULTS = [
  '',
  'MISSING or frozen: no answer at 0x40. Look at SDA, SCL, 3.3 V and ground',
  'its registers do not stay as written: look at its 3.3 V',
  'at the end of its range: look at the sense leads',
];
const PROBE_FAULTS = [
  '',
  'MISSING: nobody on the wire. Look at the 4.7 kOhm resistor and the three wires',
  'answers with errors: shorten the wire, keep it away from the motor',
  'has not measured yet: wait a second, ask again. If it stays, it loses its power',
  'shows what no bath can be: a broken probe',
];
const CONVERT = 0x44;
const READ_SCRATCHPAD = 0xbe;
const CONVERSION_MS = 800;

/** Asks the converter whether it holds what it is told: zero, and the same at its next power-up. */
function converterSays(bus: TwoWireBus): string {
  let says = 'MISSING: no answer at 0x60';
  try {
    writeCode(bus, 0);
    const fault = codeFault(bus, 0);
    says = fault ? 'does not hold what it is told: change it' : zeroPowerUpCode(bus);
  } catch (_) {
    // Told as it stands.
  }
  return says;
}

/** Each part by name: good with its reading, or what to look at. Does not count what is optional and not fitted. */
export function tellSensors(session: Session): void {
  const inputs = session.inputs;
  const fitted = session.section('fitted');
  let good = 0;
  let bad = 0;
  const tell = function (name: string, problem: string, reading: string): void {
    if (problem) bad++;
    else good++;
    print((problem ? '!  ' : '   ') + name + ': ' + (problem || 'good' + (reading ? ', ' + reading : '')));
  };
  session.board.readWatchers(inputs, {
    leak: fitted['leak'] === 1,
    smoke: fitted['smoke'] === 1,
    agitation: fitted['agitation'] === 1,
    filter: fitted['filter'] === 1,
    level: fitted['level'] === 1,
  });
  const monitorFault = inputs.monitorFault;
  tell(
    'shunt monitor',
    monitorFault === MonitorFault.none ? '' : MONITOR_FAULTS[monitorFault]!,
    shown(inputs.currentAmps) + ' A (bare shunt), terminals ' + shown(inputs.terminalVolts) + ' V',
  );
  const probeFault = inputs.probeFault;
  tell(
    'bath thermometer',
    probeFault === ProbeFault.none ? '' : PROBE_FAULTS[probeFault]!,
    shown(inputs.bathCelsius) + ' C',
  );
  if (session.supplyKind === SupplyKind.analogue) tell('set-point converter', converterSays(session.board.twoWire), '');
  tell(
    'emergency stop',
    inputs.emergencyStopPressed ? 'pressed, or its wire is broken: turn the head to release it' : '',
    'released',
  );
  tell('contactor', inputs.contactorClosed ? 'its auxiliary contact says CLOSED: it must be open now' : '', 'open');
  if (fitted['leak'] === 1) tell('leak', inputs.leakSeen ? 'seen, or its wire is broken' : '', 'dry');
  if (fitted['smoke'] === 1) tell('smoke', inputs.smokeSeen ? 'seen, or its wire is broken' : '', 'none');
  if (fitted['agitation'] === 1)
    tell('agitation', inputs.agitationStopped ? 'stopped, or its wire is broken' : '', 'on');
  if (fitted['filter'] === 1) tell('filter', inputs.filterStopped ? 'stopped, or its wire is broken' : '', 'on');
  if (fitted['level'] === 1) tell('liquid level', inputs.liquidLow ? 'low, or its wire is broken' : '', 'good');
  print(
    '   alert latch: ' +
      (inputs.alertLatchOpen ? 'open (as after power-up). Close it with its own button, then latch()' : 'closed'),
  );
  print(
    ferroelectricMemory(session.board.twoWire)
      ? '   memory: good'
      : '   memory: no FRAM at 0x50. The ESP32 keeps its journal in flash then; on other boards fit one',
  );
  print(
    '   rotation: ' + session.board.rotation.pulses + ' pulses since bring-up began. Turn the shaft by hand, ask again',
  );
  if (bad) {
    print(good + ' good, ' + bad + ' not: mend what is marked with !, then sensors() again.');
    return;
  }
  session.done(BringUpStep.sensorsSeen, good);
  print('All ' + good + ' are there. Next: limits({...}), see help().');
}

/** Searches the wire and reads each thermometer, so that the one in a warm hand is known by its number. */
export function findProbes(session: Session): void {
  const bus = session.board.oneWire as OneWire;
  const roms = bus.search();
  if (!roms.length) {
    print('No thermometer on the wire. Look at the 4.7 kOhm resistor and the three wires, then probes() again.');
    return;
  }
  let askedMs = -1;
  session.begin({
    beat: function (nowMs: number): boolean {
      if (askedMs < 0) {
        bus.reset();
        bus.skip();
        bus.write(CONVERT);
        askedMs = nowMs;
      }
      if (nowMs - askedMs < CONVERSION_MS) return true;
      for (let i = 0; i < roms.length; i++) {
        bus.select(roms[i]!);
        bus.write(READ_SCRATCHPAD);
        const bytes = bus.read(9);
        const fault = scratchpadFault(bytes);
        print("   '" + roms[i] + "': " + (fault ? PROBE_FAULTS[fault] : shown(temperatureRaw(bytes) / 16) + ' C'));
      }
      print(
        roms.length +
          " found. Hold one in your hand for a minute and type probes() again: the warmer one is it. Then probe('...') for the bath's, and clips(['...']) for those at clips and contactor.",
      );
      return false;
    },
    stop: function (): void {
      // It moves nothing.
    },
  });
}

/** Is it the number of a thermometer, as `probes()` shows it? */
export function isRom(text: unknown): boolean {
  if (typeof text !== 'string' || text.length !== 16) return false;
  for (let i = 0; i < 16; i++) if (!isWithin('0123456789abcdef'.indexOf(text.charAt(i)), 0, 15)) return false;
  return true;
}
