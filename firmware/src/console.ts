/*
 * Takes the console away while the contactor may be closed, and gives it back afterwards: a stray byte on it can end a callback for good.
 * Called with each beat of the keeper. What is printed in between is lost; the events tell it.
 */

/** `device`: the console's name on this board. The function to call with whether the contactor is enabled. */
export function consoleGuard(device: 'USB' | 'Serial1'): (isEnergised: boolean) => void {
  let isDetached = false;
  return function (isEnergised: boolean): void {
    if (isEnergised === isDetached) return;
    isDetached = isEnergised;
    E.setConsole(isDetached ? null : device, { force: true });
  };
}
