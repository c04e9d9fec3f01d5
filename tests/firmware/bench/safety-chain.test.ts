import { describe, expect, it } from 'vitest';
import { bathRunning, keepingProgram, printedLines, startAtTheBath } from './board-program.js';

const closed = (because: string) => expect.objectContaining({ isClosed: true, because });
const opened = (because: string) => expect.objectContaining({ isClosed: false, because });

describe('the safety chain of the virtual board', () => {
  it('closes on a press at the bath when every link is closed, 30 ms later', () => {
    const bath = bathRunning(keepingProgram(10));
    startAtTheBath(bath);
    expect(bath.contactorLog).toEqual([closed('start pressed at the bath')]);
    expect(bath.contactorLog[0]!.atSeconds).toBeCloseTo(1.03, 3);
    bath.advance(10);
    expect(bath.truth.currentAmps).toBeCloseTo(10.1, 1);
  });

  it('does not close while the latch stands open as it powered up', () => {
    const bath = bathRunning(keepingProgram(10));
    bath.advance(1);
    bath.press('start');
    bath.advance(5);
    expect(bath.contactorLog).toEqual([]);
  });

  it('does not close without a program that feeds the one-shot', () => {
    const bath = bathRunning('digitalWrite(D19, 1);');
    startAtTheBath(bath);
    expect(bath.contactorLog).toEqual([]);
  });

  it('is not fed by a pin that stands still, whatever its level', () => {
    const bath = bathRunning('digitalWrite(D19, 1); digitalWrite(D18, 1);');
    startAtTheBath(bath);
    expect(bath.truth.isContactorClosed).toBe(true);
    bath.advance(30);
    expect(bath.contactorLog.at(-1)).toEqual(opened('one-shot ran out: no control step for 20 s'));
  });

  it('opens within 20 s when the control interval is taken away and the outputs stay as they are', () => {
    const bath = bathRunning(keepingProgram(10));
    startAtTheBath(bath);
    bath.advance(10);
    bath.injectFault('control-loop-lost');
    bath.advance(19.5);
    expect(bath.truth.isContactorClosed).toBe(true);
    bath.advance(1.1);
    expect(bath.contactorLog.at(-1)).toEqual(opened('one-shot ran out: no control step for 20 s'));
    expect(bath.truth.currentAmps).toBe(0);
  });

  it('stays open after the watchdog has restarted the board, until somebody presses again', () => {
    const bath = bathRunning(keepingProgram(10));
    startAtTheBath(bath);
    bath.injectFault('control-loop-lost');
    bath.advance(60);
    expect(bath.bootLog.map(({ because }) => because)).toEqual(['power-up', 'watchdog: no kick for its time']);
    expect(bath.bootLog[1]!.atSeconds).toBeGreaterThan(31);
    expect(bath.truth.isContactorClosed).toBe(false);
    bath.press('start');
    bath.advance(1);
    expect(bath.truth.isContactorClosed).toBe(true);
  });

  it('opens at once when the program clears the one-shot', () => {
    const bath = bathRunning(`${keepingProgram(10)} setTimeout(function () { digitalWrite(D19, 0); }, 5000);`);
    startAtTheBath(bath);
    bath.advance(3.2);
    expect(bath.contactorLog.at(-1)).toEqual(opened('one-shot cleared by the program'));
    expect(bath.contactorLog.at(-1)!.atSeconds).toBeCloseTo(5.03, 2);
  });

  it('opens by the alert latch within one averaged conversion and the contactor’s time, while the program sleeps', () => {
    const bath = bathRunning(keepingProgram(10, 12));
    startAtTheBath(bath);
    bath.advance(10);
    bath.takeAwayCallbacks(() => true);
    const causeAtSeconds = bath.nightSeconds;
    bath.injectFault('overcurrent');
    bath.advance(1);
    expect(bath.contactorLog.at(-1)).toEqual(opened('alert latch: current above its limit'));
    // Two conversions at most: the one in which it began may average it away.
    expect(bath.contactorLog.at(-1)!.atSeconds - causeAtSeconds).toBeLessThan(2 * 0.1408 + 0.03 + 0.001);
    expect(bath.truth.isLatchClosed).toBe(false);
  });

  it('opens by the emergency stop and does not close again by its release', () => {
    const bath = bathRunning(keepingProgram(10));
    startAtTheBath(bath);
    bath.injectFault('emergency-stop', 5);
    bath.advance(10);
    expect(bath.contactorLog.at(-1)).toEqual(opened('emergency stop'));
    expect(bath.truth.isContactorClosed).toBe(false);
  });

  it('lets the hold relay go in a dip of the 24 V', () => {
    const bath = bathRunning(keepingProgram(10));
    startAtTheBath(bath);
    bath.injectFault('contactor-drop');
    bath.advance(5);
    expect(bath.contactorLog.at(-1)).toEqual(opened('24 V dipped'));
  });

  it('tells the board what it can read: latch, contactor, emergency stop, each careful when low', () => {
    const bath = bathRunning(
      `${keepingProgram(1)} setInterval(function () { print(digitalRead(D23), digitalRead(D32), digitalRead(D33)); }, 1000);`,
    );
    bath.advance(1.5);
    bath.press('latch-reset');
    bath.advance(1);
    bath.press('start');
    bath.advance(1);
    bath.press('emergency-stop');
    bath.advance(1);
    expect(printedLines(bath)).toEqual(['0 0 1', '1 0 1', '1 1 1', '1 0 0']);
  });

  it('opens and forgets when the controller loses its power, and its latch powers up open', () => {
    const bath = bathRunning(keepingProgram(10));
    startAtTheBath(bath);
    bath.injectFault('power-cut', 8);
    bath.advance(1);
    expect(bath.isBoardRunning).toBe(false);
    expect(bath.contactorLog.at(-1)).toEqual(opened('board restarted'));
    bath.advance(10);
    expect(bath.bootLog.at(-1)!.because).toBe('power came back');
    expect(bath.truth.isLatchClosed).toBe(false);
    bath.press('start');
    bath.advance(1);
    expect(bath.truth.isContactorClosed).toBe(false);
  });
});
