/* Letting go of a hold, in the order in which things are written: by a session that only notes it. What a whole hold does is in commands.test.ts. */
import '../loop/stand-in-board.js';
import { expect, it } from 'vitest';
import { type Inputs, MonitorFault } from '@bathkeeper/shared-core/control';
import { holdToRun } from '../../../firmware/bring-up/hold-to-run.js';
import type { Job, Session } from '../../../firmware/bring-up/session.js';

it('opens the contactor before it asks the set-point for zero: a stuck bus holds nothing up', () => {
  const done: string[] = [];
  const noted = (name: string) => ({ write: (isHigh: boolean) => done.push(`${name} ${isHigh ? 'on' : 'off'}`) });
  const inputs = {
    monitorFault: MonitorFault.none,
    emergencyStopPressed: false,
    contactorClosed: false,
    alertLatchOpen: false,
    terminalVolts: 0,
    currentAmps: 0,
  } as Inputs;
  let job: Job | undefined;
  let startIsDown = true;
  const board = {
    contactorEnable: noted('contactor'),
    oneShotTrigger: { write: () => undefined },
    supplyEnable: noted('supply'),
    buzzer: { write: () => undefined },
    twoWire: {
      writeTo: (_address: number, upper: number, lower: number) => {
        done.push(`code ${upper * 256 + lower}`);
        if (!startIsDown) throw new Error('the bus is stuck');
      },
    },
  };
  const session = {
    board,
    inputs,
    begin: (begun: Job) => (job = begun),
    restAlert: () => undefined,
    allOff: () => board.contactorEnable.write(false),
  } as unknown as Session;
  holdToRun(session, {
    ampsMax: 35,
    voltsMax: 8,
    code: 200,
    hasSupply: true,
    startIsDown: () => startIsDown,
    detachConsole: () => undefined,
    ended: () => undefined,
  });
  job!.beat(0);
  inputs.contactorClosed = true;
  job!.beat(200);
  job!.beat(400);
  expect(done).toContain('code 200');
  done.length = 0;
  startIsDown = false;
  job!.beat(600);
  expect(done).toEqual(['contactor off', 'code 0']);
});
