/*
 * The folder in which a run of the tests keeps the firmware that it built (built-once.ts). Vitest makes it before the first test, empties it when
 * sources changed under its eyes, and removes it after the last.
 */
import { mkdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  export interface ProvidedContext {
    buildsFolder: string;
  }
}

/** Both projects of one run share it: they are set up in one process, before any test. */
export default function setUp(project: TestProject): () => void {
  const folder = join(tmpdir(), `bathkeeper-builds-${String(process.pid)}`);
  const remove = (): void => {
    rmSync(folder, { recursive: true, force: true });
  };
  const empty = (): void => {
    remove();
    mkdirSync(folder, { recursive: true });
  };
  empty();
  project.onTestsRerun(empty);
  project.provide('buildsFolder', folder);
  return remove;
}
