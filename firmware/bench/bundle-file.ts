/*
 * Finds the bundle that is flashed: the very file that the board gets is what the virtual bath runs.
 * Used by whoever starts a virtual bath; it builds nothing.
 */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

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
