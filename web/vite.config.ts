import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

// `npm run dev` serves the page with live reload and hands /api to a running program: LOWSLUNG=http://127.0.0.1:PORT.
const program = process.env['LOWSLUNG'] ?? 'http://127.0.0.1:8473';

export default defineConfig({
  plugins: [svelte()],
  resolve: {
    alias: {
      $lib: fileURLToPath(new URL('./src/lib', import.meta.url)),
      $stage: fileURLToPath(new URL('./src/stage', import.meta.url)),
    },
  },
  server: { proxy: { '/api': { target: program, changeOrigin: true } } },
  build: { target: 'es2022', assetsInlineLimit: 0, modulePreload: { polyfill: false }, chunkSizeWarningLimit: 900 },
  test: { include: ['src/**/*.test.ts'], environment: 'node' },
});
