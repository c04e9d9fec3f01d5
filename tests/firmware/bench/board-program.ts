/*
 * Small programs in the interpreter's API for tests of the virtual board: what each test needs of a program and no
 * more, so that the board is tested and not the firmware.
 */
import { noNetwork, simulatedBoardSettings, VirtualBath, type VirtualBathOptions } from '@bathkeeper/firmware/bench';

/** A bath whose board runs this text. */
export function bathRunning(program: string, options: Partial<VirtualBathOptions> = {}): VirtualBath {
  return new VirtualBath({
    bundle: program,
    seed: 1,
    settings: simulatedBoardSettings(),
    network: noNetwork,
    ...options,
  });
}

/** What the program printed, without times and without the board's own lines. */
export function printedLines(bath: VirtualBath): string[] {
  return bath.consoleText
    .split('\n')
    .filter((line) => line.startsWith('[') && !line.includes('] --- boot'))
    .map((line) => line.slice(line.indexOf('] ') + 2));
}

/**
 * A program that feeds the one-shot and the watchdog five times a second, sets a current and arms the monitor's alert:
 * the least that keeps a contactor closed.
 */
export function keepingProgram(amps: number, alertLimitAmps = 35): string {
  return `
    function write(register, value) { I2C1.writeTo(0x40, register, value >> 8, value & 255); }
    write(0, 0x4727); write(5, 1706); write(7, ${String(Math.round((alertLimitAmps * 0.0015) / 2.5e-6))}); write(6, 0x8000);
    E.enableWatchdog(30, false);
    digitalWrite(D2, 1);
    digitalWrite(D19, 1);
    digitalWrite(D25, 1);
    var isHigh = false;
    setInterval(function () {
      var code = digitalRead(D32) ? ${String(Math.round(amps * 100))} : 0;
      I2C1.writeTo(0x60, code >> 8, code & 255);
      isHigh = !isHigh;
      digitalWrite(D18, isHigh);
      E.kickWatchdog();
    }, 200);
  `;
}

/** Powers up, resets the latch and presses start; the contactor has closed. */
export function startAtTheBath(bath: VirtualBath): void {
  bath.advance(1);
  bath.press('latch-reset');
  bath.press('start');
  bath.advance(1);
}
