import { defineConfig } from '@playwright/test';

// The page on the real program: e2e/program.ts builds it once and every test starts one of its own.
export default defineConfig({
  testDir: 'e2e',
  globalSetup: './e2e/build.ts',
  timeout: 45_000,
  expect: { timeout: 8_000 },
  workers: 1,
  fullyParallel: false,
  retries: process.env['CI'] ? 1 : 0, // on a machine that others share a page may be late once; what passes only then is listed as flaky
  reporter: [['list']],
  use: {
    browserName: 'chromium',
    viewport: { width: 1440, height: 900 },
    launchOptions: {
      executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
      args: ['--no-sandbox'],
    },
  },
});
