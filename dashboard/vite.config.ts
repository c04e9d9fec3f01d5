/*
 * Builds the page into dashboard/dist/page, from where the server hands it out. Run by the set-up script.
 * Everything is in files of our own, nothing inline, so that the strictest content policy holds.
 */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { iconFiles } from './icons/icon-files.mjs';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('page'),
  base: './',
  plugins: [iconFiles()],
  resolve: { conditions: ['source', 'module', 'browser', 'import', 'default'] },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: here('dist/page'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    sourcemap: false,
    // The drawing library of the part's picture, fetched with it alone.
    chunkSizeWarningLimit: 600,
    rollupOptions: {
      // The core is pure: what the first screen does not use of it stays out.
      treeshake: { moduleSideEffects: (id) => !id.includes('/shared-core/') },
      input: { page: here('page/index.html'), 'service-worker': here('page/service-worker/service-worker.ts') },
      output: {
        // The worker has one address for ever: a browser that knows an older one looks for the newer there.
        entryFileNames: ({ name }) => (name === 'service-worker' ? 'service-worker.js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  server: { host: '127.0.0.1' },
});
