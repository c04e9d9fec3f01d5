import { describe, expect, it } from 'vitest';
import { simulatedBoardSettings } from '@bathkeeper/firmware/bench';
import { startRequest } from '../../../firmware/bench/start-request.js';

const recipeRow = [1, 12, 3.6, 600, 1800, 19.2, 1e9, 1.8, 3600, 3.6, 50_000, 6, 18, 28, 32];

describe('the request that starts a demonstration', () => {
  it('has usual values for everything', () => {
    expect(startRequest({})).toEqual({ seed: 1, speed: 1, prerollSeconds: 0, signOfLifePort: 0, faults: [] });
  });

  it('takes settings, recipe and faults', () => {
    const settings = simulatedBoardSettings({ port: 4000 });
    expect(
      startRequest({
        settings,
        recipeRow,
        seed: 3,
        speed: 20,
        prerollSeconds: 13_200,
        faults: ['rotation-stall@05:00'],
      }),
    ).toEqual({
      ...{ settings, recipeRow, seed: 3, speed: 20, prerollSeconds: 13_200, signOfLifePort: 0 },
      faults: [{ name: 'rotation-stall', scope: 'bath', atSeconds: 18_000 }],
    });
  });

  it('is refused with everything that is wrong with it at once', () => {
    const problems = startRequest({
      ...{ seed: 'one', speed: 0, prerollSeconds: -1, signOfLifePort: 70_000 },
      ...{ settings: { link: {} }, recipeRow: [1, 2], faults: ['gremlins@1h'] },
    });
    expect(problems).toHaveLength(7);
    expect(problems).toContainEqual('speed: expected a number from 0.1 to 1000, got 0.');
  });

  it.each([null, 7, 'start', []])('is refused or harmless when it is no object: %j', (request) => {
    expect(startRequest(request)).toMatchObject({ speed: 1 });
  });

  it('is refused when the settings are no object', () => {
    expect(startRequest({ settings: null })).toMatchObject([expect.stringContaining('settings')]);
  });
});
