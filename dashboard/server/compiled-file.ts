/*
 * Where the compiled file of a thread lies: a thread runs what was compiled, also when whoever starts it runs from the sources, as tests do.
 */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** `path` within the server, without its ending. Example: `compiledFile('keeping/reading-thread')`. */
export function compiledFile(path: string): string {
  const beside = fileURLToPath(new URL(`./${path}.js`, import.meta.url));
  return existsSync(beside) ? beside : fileURLToPath(new URL(`../dist/server/${path}.js`, import.meta.url));
}
