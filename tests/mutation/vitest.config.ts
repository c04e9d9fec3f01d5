/*
 * How the mutation run calls the tests of the control room: alone, and on the sources of the copy in which a mutant lives
 * (the packages' own links would lead back to the unchanged ones). Used by stryker.config.json beside it.
 */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('../..', import.meta.url));

export default defineConfig({
  root,
  resolve: {
    conditions: ['source', 'node'],
    alias: [{ find: /^@bathkeeper\/shared-core\/(\w+)$/, replacement: `${root}shared-core/src/$1/index.ts` }],
  },
  test: {
    include: ['tests/shared-core/control/**/*.test.ts'],
    exclude: ['**/dist/**', '**/node_modules/**', '.stryker-tmp/**'],
    server: { deps: { inline: [/@bathkeeper\//] } },
  },
});
