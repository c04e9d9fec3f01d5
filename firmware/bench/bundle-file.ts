/*
 * Finds the bundle that is flashed: the very file that the board gets is what the virtual bath runs.
 * Used by whoever starts a virtual bath; it builds nothing.
 */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Name in flash of what runs once at boot; and what stands between it and the program where both are in one text. */
const BOOT_FILE = 'boot.js';
const SEPARATOR = '\n//# program\n';

/** The files of a bundle's text by their names in flash, and the program that is run at power-up. */
export function flashedFiles(text: string): { readonly files: ReadonlyMap<string, string>; readonly program: string } {
  const at = text.indexOf(SEPARATOR);
  if (at < 0) return { files: new Map(), program: text };
  return { files: new Map([[BOOT_FILE, text.slice(0, at)]]), program: text.slice(at + SEPARATOR.length) };
}

/** Path of `firmware/dist/bathkeeper.js`, from the sources as well as from the compiled files. */
export function bundleFilePath(): string {
  const candidates = ['../dist/bathkeeper.js', '../bathkeeper.js'];
  const paths = candidates.map((candidate) => fileURLToPath(new URL(candidate, import.meta.url)));
  return paths.find((path) => existsSync(path)) ?? paths[0]!;
}

/** Text of the bundle. Throws with what to do when it was not built. */
export function bundleText(path = bundleFilePath()): string {
  if (!existsSync(path)) {
    throw new Error(`The firmware bundle is missing: expected ${path}. Build it with: npm run firmware -- build`);
  }
  return readFileSync(path, 'utf8');
}
