/*
 * Builds the page into dashboard/dist/page, from where the server hands it out. Run by the set-up script.
 * Everything is in files of our own, nothing inline, so that the strictest content policy holds.
 */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('page'),
  base: './',
  resolve: { conditions: ['source', 'module', 'browser', 'import', 'default'] },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: here('dist/page'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    sourcemap: false,
  },
  server: { host: '127.0.0.1' },
});
