/* The shunt: its resistance, its signal and its heat, and which one a current asks for. Called by the planner. Does not know the monitor chip. */

export interface Shunt {
  readonly ratedAmps: number;
  /** At the rated current: 60 or 75 mV (a maker's catalogue, class 0.5). */
  readonly ratedMillivolts: number;
}

/** Ratings that are sold, with 75 mV. */
const soldAmps = [10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 300, 400, 500, 1000];

/** At least 1.4 times the largest current (a supplier's advice, selectsupport.com). */
export const shuntReserve = 1.4;

/** Example: 50 A / 75 mV: 0.0015 Ω. */
export function shuntOhms(shunt: Shunt): number {
  return shunt.ratedMillivolts / 1000 / shunt.ratedAmps;
}

/** The smallest shunt of 75 mV with that reserve. Example: for 31 A: 50 A. Above every catalogue rating: the current times the reserve. */
export function shuntFor(amps: number): Shunt {
  const wantedAmps = amps * shuntReserve;
  return { ratedAmps: soldAmps.find((each) => each >= wantedAmps) ?? Math.ceil(wantedAmps), ratedMillivolts: 75 };
}

/** What the controller's current monitor reads at most, either way (INA226, TI SBOS547). Example: 54.61 A in 1.5 mΩ. */
export const monitorMillivoltsMax = 81.92;
