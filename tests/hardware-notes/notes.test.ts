/*
 * The hardware notes say what the programs do: pins in the table and in the drawing are those of the board files, commands are those of
 * bring-up, links lead somewhere, drawings are whole, and the numbers of shunt and cable are what their formulas give.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = new URL('../../', import.meta.url);
const read = (path: string): string => readFileSync(fileURLToPath(new URL(path, root)), 'utf8');
const notes = readdirSync(fileURLToPath(new URL('hardware-notes/', root)));
const pages = notes.filter((name) => name.endsWith('.md'));
const drawings = notes.filter((name) => name.endsWith('.svg'));
const BOARDS = ['esp32', 'espruino-wifi'] as const;

/** Role in the drawing, its row in the table, how a board file names its pin. */
const ROLES: readonly (readonly [string, string, RegExp])[] = [
  ['twoWireData', 'I²C data', /sda: (\w+)/],
  ['twoWireClock', 'I²C clock', /scl: (\w+)/],
  ['oneWire', 'thermometers', /new OneWire\((\w+)\)/],
  ['rotation', 'rotation sensor', /rotationSensor\((\w+),/],
  ['oneShotTrigger', 'one-shot trigger', /oneShotTrigger: (\w+)/],
  ['contactorEnable', 'one-shot clear', /contactorEnable: (\w+)/],
  ['supplyEnable', 'second means', /supplyEnable: (\w+)/],
  ['motor', 'motor driver', /motor: (\w+)/],
  ['buzzer', 'buzzer', /buzzer: (\w+)/],
  ['latch', 'alert latch', /latch: (\w+)/],
  ['feedback', 'contactor feedback', /feedback: (\w+)/],
  ['emergencyStop', 'emergency stop', /emergencyStop: (\w+)/],
  ['start', 'start', /start: (\w+)/],
  ['stop', 'stop', /stop: (\w+)/],
  ['reset', 'reset', /reset: (\w+)/],
  ['leak', 'leak', /leak: (\w+)/],
  ['smoke', 'smoke', /smoke: (\w+)/],
  ['agitation', 'agitation', /agitation: (\w+)/],
  ['filter', 'filter', /filter: (\w+)/],
  ['level', 'liquid level', /level: (\w+)/],
  ['serialTransmit', 'serial transmit', /tx: (\w+)/],
  ['serialReceive', 'serial receive', /rx: (\w+)/],
];

describe('the pins in the notes', () => {
  const table = read('hardware-notes/wiring.md');
  const drawing = read('hardware-notes/wiring.svg');
  it.each(ROLES)('are those of both board files: %s', (role, row, inSource) => {
    BOARDS.forEach((board, index) => {
      const pin = inSource.exec(read(`firmware/src/boards/${board}.ts`))?.[1];
      expect(pin, `${role} in ${board}.ts`).toMatch(/^[A-D]\d+$/);
      const cells = table.split('\n').find((line) => line.startsWith(`| ${row} |`));
      expect(cells?.split('|')[2 + index]?.trim()).toBe(pin);
      expect(drawing).toContain(`data-role="${role}" data-board="${board}">${pin!}</text>`);
    });
  });

  it('leave none of the pins out that a board file uses', () => {
    for (const board of BOARDS) {
      const used = new Set(read(`firmware/src/boards/${board}.ts`).match(/\b[A-D]\d{1,2}\b/g));
      const inNotes = new Set(
        drawing.match(new RegExp(`data-board="${board}">(\\w+)<`, 'g'))?.map((each) => /(\w+)<$/.exec(each)![1]!),
      );
      expect([...used].filter((pin) => !inNotes.has(pin))).toEqual([]);
    }
  });

  it('in the ladder diagram are those of the reference board', () => {
    const board = read('firmware/src/boards/esp32.ts');
    const ladder = read('hardware-notes/safety-chain.svg');
    expect(ladder).toContain(
      `trigger ${/oneShotTrigger: (\w+)/.exec(board)![1]!}, clear ${/contactorEnable: (\w+)/.exec(board)![1]!}`,
    );
    expect(ladder).toContain(`>${/supplyEnable: (\w+)/.exec(board)![1]!}</text>`);
    expect(ladder).toContain(`contact to ${/start: (\w+)/.exec(board)![1]!}:`);
  });
});

describe('the commands in the notes', () => {
  const commands = [...read('firmware/bring-up/main.ts').matchAll(/^commands\['(\w+)'\] = /gm)].map(
    ([, name]) => name!,
  );
  it('are all those of bring-up, and no others', () => {
    expect(commands.length).toBeGreaterThan(15);
    const page = read('hardware-notes/bring-up.md');
    const named = new Set([...page.matchAll(/`(\w+)\(/g)].map(([, name]) => name!));
    named.delete('bringUp');
    expect([...named].sort()).toEqual([...commands].sort());
  });
});

describe('the pages', () => {
  it.each(pages)('%s links only to what is there', (page) => {
    const links = [...read(`hardware-notes/${page}`).matchAll(/\]\(([^)#]+)/g)].map(([, link]) => link!);
    const broken = links.filter(
      (link) => !/^https?:/.test(link) && !existsSync(fileURLToPath(new URL(`hardware-notes/${link}`, root))),
    );
    expect(broken).toEqual([]);
  });

  it('are all reached from the first one', () => {
    const first = read('hardware-notes/README.md');
    for (const page of pages) if (page !== 'README.md') expect(first).toContain(`(${page})`);
    expect(first).toContain('not a safety-rated system');
    expect(read('hardware-notes/cautions.md')).toContain('No source that we have seen endorses plating unattended');
  });

  it.each(drawings)('%s is legible on a phone, in light and in dark, and says in words what it shows', (drawing) => {
    const svg = read(`hardware-notes/${drawing}`);
    expect(svg).toMatch(/viewBox="0 0 400 \d+(\.\d+)?"/);
    expect(svg).toContain('prefers-color-scheme: dark');
    expect(svg).toMatch(/<title [^>]*>[^<]+<\/title>\s*<desc [^>]*>[^<]{80,}<\/desc>/);
    const sizes = [...svg.matchAll(/font-size: ([\d.]+)px/g)].map(([, size]) => Number(size));
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(12);
    // Nothing is fetched from elsewhere.
    expect(svg.replace('http://www.w3.org/2000/svg', '')).not.toContain('http');
  });
});

describe('the numbers of the conductors', () => {
  const page = read('hardware-notes/conductors.md');
  const rowsOf = (title: string): string[][] =>
    page
      .slice(page.indexOf(`## ${title}`))
      .split('\n## ')[0]!
      .split('\n')
      .filter((line) => /^\| \d/.test(line))
      .map((line) =>
        line
          .split('|')
          .slice(1, -1)
          .map((cell) => cell.trim()),
      );

  it('of the shunt are what its resistance gives at 31 A', () => {
    for (const [name, ohms, volts, heat, end] of rowsOf('Shunt')) {
      const [amps, millivolts] = name!.match(/\d+/g)!.map(Number) as [number, number];
      const milliOhms = millivolts / amps;
      expect(parseFloat(ohms!)).toBeCloseTo(milliOhms, 6);
      expect(parseFloat(volts!)).toBeCloseTo(31 * milliOhms, 0.9);
      expect(parseFloat(heat!)).toBeCloseTo((31 * 31 * milliOhms) / 1000, 2);
      // 81.92 mV: TI SBOS547, shunt voltage range.
      expect(Math.abs(parseFloat(end!) / (81.92 / milliOhms) - 1)).toBeLessThan(0.005);
    }
  });

  it('of the drop above which a short is not seen are the limits of the controller, and the sums of the tables beside them', () => {
    const looks = read('shared-core/src/control/looks.ts');
    const most = /SHORT_VOLTS_MAX = ([\d.]+);/.exec(looks)![1]!;
    const least = /Math\.max\(([\d.]+), Math\.min\(SHORT_VOLTS_MAX/.exec(
      looks.replace(/\s+/g, ' ').replace('( ', '('),
    )![1]!;
    expect(page).toContain(`at most ${most} V, and under ${least} V always`);
    const shuntAndContactorVolts = 31 * (0.0015 + 0.001);
    expect(page).toContain(`${(0.118 + shuntAndContactorVolts).toFixed(3)} V; a slip ring`);
    expect(page).toContain(`6 mm² ${(0.205 + shuntAndContactorVolts).toFixed(2)} V`);
  });

  it('of the cable are what IEC 60228 gives at 31 A over 2 m', () => {
    // Largest resistance of class 5 at 20 C, ohm a kilometre (IEC 60228).
    const published: Record<string, number> = { 6: 3.3, 10: 1.91, 16: 1.21 };
    const rows = rowsOf('Cable');
    expect(rows).toHaveLength(3);
    for (const [area, ohms, drop, heat] of rows) {
      expect(parseFloat(ohms!)).toBe(published[area!]);
      const volts = (31 * 2 * published[area!]!) / 1000;
      expect(Math.abs(parseFloat(drop!) - volts)).toBeLessThan(0.001);
      expect(Math.abs(parseFloat(heat!) - 31 * volts)).toBeLessThan(0.06);
    }
  });
});
