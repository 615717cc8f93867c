import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

// The same policy as the window's, so that a preview in a plain browser shows what it would refuse.
const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data:; connect-src ipc: http://ipc.localhost";

export default defineConfig({
  plugins: [svelte()],
  base: './',
  build: { assetsInlineLimit: 0, modulePreload: { polyfill: false }, target: 'safari16' },
  // The fonts live with the printed pages, outside this folder.
  server: { fs: { allow: ['..'] } },
  preview: { headers: { 'Content-Security-Policy': POLICY } },
  resolve: process.env.VITEST ? { conditions: ['browser'] } : undefined,
  test: { environment: 'jsdom', include: ['tests/**/*.test.ts'], setupFiles: ['tests/setup.ts'] },
});
