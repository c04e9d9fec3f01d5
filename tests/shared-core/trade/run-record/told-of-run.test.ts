/* What a controller told of a run: phases with lengths, interruptions with what they mean for the copper, what else happened. */
import { describe, expect, it } from 'vitest';
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import { happenedInRun, interruptionsOfRun, phasesOfRun, type ToldEvent } from '@bathkeeper/shared-core/trade';

const told = (atMs: number, kind: number, code = 0, a = 0, b = 0): ToldEvent => ({ atMs, kind, code, a, b });
const entered = (atMs: number, phase: Phase, chargeCoulombs = 0): ToldEvent =>
  told(atMs, EventKind.phaseEntered, phase, 0, chargeCoulombs);

describe('phases of a run', () => {
  it('have the length up to the next one, and the last one that up to the end', () => {
    const events = [entered(1000, Phase.strike), entered(601_000, Phase.ramp), entered(2_401_000, Phase.plate)];
    expect(phasesOfRun(events, 10_001_000)).toEqual([
      { phase: Phase.strike, fromMs: 1000, seconds: 600 },
      { phase: Phase.ramp, fromMs: 601_000, seconds: 1800 },
      { phase: Phase.plate, fromMs: 2_401_000, seconds: 7600 },
    ]);
  });

  it('leave out what was before the start and after the end', () => {
    const events = [
      entered(0, Phase.ready),
      entered(500, Phase.polarity),
      entered(3500, Phase.strike),
      entered(9000, Phase.done),
    ];
    expect(phasesOfRun(events, 9000)).toEqual([
      { phase: Phase.polarity, fromMs: 500, seconds: 3 },
      { phase: Phase.strike, fromMs: 3500, seconds: 5.5 },
    ]);
  });
});

describe('interruptions of a run', () => {
  it('say when the current went and came back, and what that means for the copper', () => {
    const events = [
      entered(0, Phase.plate),
      told(100_000, EventKind.interruption, 0, 20),
      told(900_000, EventKind.interruption, 0, 300),
    ];
    const [short, long] = interruptionsOfRun(events, 1_000_000, false);
    expect(short).toEqual({ fromMs: 80_000, untilMs: 100_000, seconds: 20, adhesion: 'Short enough to go on.' });
    expect(long).toMatchObject({ fromMs: 600_000, untilMs: 900_000, seconds: 300 });
    expect(long?.adhesion).toContain('new copper may not adhere');
  });

  it('of unknown length say so', () => {
    const [one] = interruptionsOfRun([told(100_000, EventKind.interruption, 0, -1)], 200_000, true);
    expect(one).toMatchObject({ fromMs: null, untilMs: 100_000, seconds: null });
    expect(one?.adhesion).toContain('Nobody can tell for how long');
  });

  it('that still last are told of a part that has copper, and of no run that has ended', () => {
    const tripped = [entered(0, Phase.plate), entered(60_000, Phase.trip, 5000)];
    expect(interruptionsOfRun(tripped, 180_000, true)).toMatchObject([{ fromMs: 60_000, untilMs: null, seconds: 120 }]);
    expect(interruptionsOfRun(tripped, 180_000, false)).toEqual([]);
    expect(interruptionsOfRun([entered(60_000, Phase.trip, 0)], 180_000, true)).toEqual([]);
  });
});

describe('what else happened', () => {
  it('is told in sentences, and what has a place of its own is left out', () => {
    const events = [
      entered(0, Phase.ramp),
      told(1000, EventKind.rampTold, 1, 5000),
      told(2000, EventKind.conditionRaised, Condition.bathWarm),
      told(3000, EventKind.lowered, 0, 12_000),
      told(4000, EventKind.acknowledged),
      told(5000, EventKind.rotationRestart, 2),
      told(6000, EventKind.restartedAfterFault, 9),
    ];
    expect(happenedInRun(events)).toEqual([
      { atMs: 1000, words: 'The ramp was paused at the bath.' },
      { atMs: 3000, words: 'The current was lowered from afar to 12 A.' },
      { atMs: 4000, words: 'Somebody acknowledged at the bath.' },
      { atMs: 5000, words: 'The motor was started again, try 2.' },
      { atMs: 6000, words: 'The controller restarted after a fault that nobody knows.' },
    ]);
  });
});
