/*
 * The virtual supply of scpi-instrument.c as a process: compiled once from libscpi's sources, whose folder SCPI_PARSER_SOURCE names
 * (https://github.com/j123b567/scpi-parser, BSD 2-Clause, by Jan Breuer). Used by the test of the SCPI supply; never by the firmware.
 */
import { execFileSync, spawn, type ChildProcessWithoutNullStreams } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

/** The folder that holds `libscpi/src`, or undefined: then the supply is only tested against this project's own stand-in. */
export const SCPI_PARSER_SOURCE: string | undefined = process.env['SCPI_PARSER_SOURCE'] || undefined;

/** What the supply carries: set current, voltage ceiling, output. */
export interface Carried {
  readonly amps: number;
  readonly volts: number;
  readonly isOn: boolean;
}

export class ScpiInstrument {
  private readonly folder = mkdtempSync(join(tmpdir(), 'scpi-instrument-'));
  private readonly process: ChildProcessWithoutNullStreams;
  private answers: string[] = [];
  private carried: ((line: string) => void) | undefined;

  constructor(source: string) {
    const library = join(source, 'libscpi');
    const program = join(this.folder, 'instrument');
    const sources = readdirSync(join(library, 'src'))
      .filter((name) => name.endsWith('.c'))
      .map((name) => join(library, 'src', name));
    const own = fileURLToPath(new URL('scpi-instrument.c', import.meta.url));
    execFileSync('cc', [`-I${join(library, 'inc')}`, own, ...sources, '-lm', '-o', program]);
    this.process = spawn(program);
    createInterface(this.process.stdout).on('line', (line) => {
      if (line.startsWith('!')) this.carried?.(line.slice(1));
      else this.answers.push(line);
    });
  }

  /** Sends lines (and what the world does to the supply); resolves with what was answered meanwhile and what it carries then. */
  async exchange(text: string, world = '!'): Promise<{ answers: string; carried: Carried }> {
    const line = await new Promise<string>((resolve) => {
      this.carried = resolve;
      this.process.stdin.write(`${text}${world}\n`);
    });
    const [amps, volts, isOn] = line.split(' ').map(Number);
    const answers = this.answers.map((one) => `${one}\r\n`).join('');
    this.answers = [];
    return { answers, carried: { amps: amps!, volts: volts!, isOn: isOn === 1 } };
  }

  end(): void {
    this.process.stdin.end();
    rmSync(this.folder, { recursive: true, force: true });
  }
}
