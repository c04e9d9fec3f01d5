/*
 * Tests run on the TypeScript sources (condition `source`), not on what was built; only the firmware bundle and the
 * page are tested as built. Two projects: `rooms` (each room by itself) and `journeys` (whole nights, the browser, the
 * real interpreter), which may take longer. One alone: `npx vitest run --project rooms tests/walls`.
 */
import { defineConfig } from 'vitest/config';

const journeys = ['tests/nights/**', 'tests/browser/**', 'tests/interpreter/**', 'tests/programs/**'];
const testsBelow = (folders: string[]) => folders.map((folder) => `${folder}/*.test.{ts,tsx}`);

const sources = {
  resolve: { conditions: ['source', 'node'] },
  ssr: { resolve: { conditions: ['source', 'node'], externalConditions: ['source'] } },
  oxc: { jsx: { runtime: 'automatic' as const, importSource: 'preact' } },
};
const common = {
  exclude: ['**/dist/**', '**/node_modules/**'],
  server: { deps: { inline: [/@bathkeeper\//] } },
};
const buildsFolder = 'tests/firmware/build/builds-folder.ts';

export default defineConfig({
  test: {
    projects: [
      {
        ...sources,
        test: {
          ...common,
          name: 'rooms',
          include: testsBelow(['tests/**']),
          exclude: [...common.exclude, ...journeys],
          globalSetup: [buildsFolder],
          testTimeout: 30_000,
        },
      },
      {
        ...sources,
        test: {
          ...common,
          name: 'journeys',
          include: testsBelow(journeys),
          globalSetup: [buildsFolder, 'tests/browser/built-page.ts'],
          testTimeout: 180_000,
          hookTimeout: 180_000,
        },
      },
    ],
    coverage: {
      provider: 'v8',
      include: ['shared-core/src/**', 'firmware/{src,build,bench}/**', 'dashboard/{model-files,server,page}/**'],
      exclude: ['**/dist/**', '**/*.d.ts'],
    },
  },
});
