/* Tests run on the TypeScript sources (condition `source`), not on what was built. */
import { defineConfig } from 'vitest/config';

export default defineConfig({
  resolve: { conditions: ['source', 'node', 'import', 'default'] },
  ssr: { resolve: { conditions: ['source', 'node', 'import', 'default'], externalConditions: ['source'] } },
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['**/dist/**', '**/node_modules/**'],
    testTimeout: 30_000,
    server: { deps: { inline: [/@bathkeeper\//] } },
  },
});
