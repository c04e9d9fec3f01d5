/*
 * Builds the page from its present sources, once for all browser tests: what is tested is never an older page. Vitest calls it before the first of them, and hands
 * the folder to each (`inject('pageFolder')`).
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  export interface ProvidedContext {
    pageFolder: string;
  }
}

/** Writes the page into a folder. */
export async function buildPage(folder: string): Promise<void> {
  await build({
    configFile: fileURLToPath(new URL('../../dashboard/vite.config.ts', import.meta.url)),
    logLevel: 'error',
    mode: 'production',
    build: { outDir: folder, emptyOutDir: true },
  });
}

export default async function setUp(project: TestProject): Promise<() => void> {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-page-'));
  await buildPage(folder);
  project.onTestsRerun(() => buildPage(folder));
  project.provide('pageFolder', folder);
  return () => {
    rmSync(folder, { recursive: true, force: true });
  };
}
