/*
 * Adds the icons and the manifest of an installable page to what is built (a plugin of Vite, see vite.config.ts), under fixed names:
 * the service worker, notifications and home screens refer to them.
 */
import { badge, icon } from './drawing.mjs';
import { pngOf, svgOf } from './raster.mjs';

/** A maskable icon may be cut to a circle of 80 % of its width; the drawing is 0.72 of the whole so that its corners stay within. */
const MASKABLE_SCALE = 0.72;

const manifest = {
  name: 'Bathkeeper',
  short_name: 'Bathkeeper',
  description: 'Watches a copper electroforming bath and calls when it matters.',
  id: '/',
  start_url: '/',
  scope: '/',
  display: 'standalone',
  background_color: '#f5eedf',
  theme_color: '#f5eedf',
  lang: 'en',
  icons: [
    { src: '/icon.svg', type: 'image/svg+xml', sizes: 'any' },
    { src: '/icon-192.png', type: 'image/png', sizes: '192x192' },
    { src: '/icon-512.png', type: 'image/png', sizes: '512x512' },
    { src: '/maskable-512.png', type: 'image/png', sizes: '512x512', purpose: 'maskable' },
  ],
};

export function iconFiles() {
  return {
    name: 'icon-files',
    apply: 'build',
    generateBundle() {
      const emit = (fileName, source) => this.emitFile({ type: 'asset', fileName, source });
      emit('icon.svg', svgOf(icon));
      emit('icon-192.png', pngOf(icon, 192));
      emit('icon-512.png', pngOf(icon, 512));
      emit('icon-180.png', pngOf(icon, 180, 0.86));
      emit('maskable-512.png', pngOf(icon, 512, MASKABLE_SCALE));
      emit('badge-96.png', pngOf(badge, 96));
      emit('manifest.webmanifest', JSON.stringify(manifest, null, 2));
    },
    transformIndexHtml: () => [
      { tag: 'link', injectTo: 'head', attrs: { rel: 'icon', href: '/icon.svg', type: 'image/svg+xml' } },
      { tag: 'link', injectTo: 'head', attrs: { rel: 'apple-touch-icon', href: '/icon-180.png' } },
      { tag: 'link', injectTo: 'head', attrs: { rel: 'manifest', href: '/manifest.webmanifest' } },
    ],
  };
}
