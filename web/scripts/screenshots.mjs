// Takes the pictures of the manual from the running program: docs/pictures/*.png.
// Usage: node scripts/screenshots.mjs [NAME …]   all of them without a name (LOWSLUNG_PROGRAM names a program that is built already)
import { execFileSync, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from '@playwright/test';

const root = fileURLToPath(new URL('../..', import.meta.url));
const pictures = join(root, 'docs', 'pictures');
const folder = mkdtempSync(join(tmpdir(), 'lowslung-pictures-'));
let program = process.env.LOWSLUNG_PROGRAM;
if (!program) {
  program = join(folder, 'lowslung');
  execFileSync('go', ['build', '-o', program, './cmd/lowslung'], { cwd: root, stdio: 'inherit' });
}

const child = spawn(program, ['serve', '--addr', '127.0.0.1:0', '--workshop', join(folder, 'workshop'), '--no-open']);
const url = await new Promise((resolve, reject) => {
  child.stdout.on('data', (chunk) => {
    const found = String(chunk).match(/http:\/\/[\d.]+:\d+/);
    if (found) resolve(found[0]);
  });
  child.on('exit', (code) => reject(new Error(`the program ended with ${code}`)));
});

const rigs = (await (await fetch(`${url}/api/rigs`)).json()).rigs;
const id = (file) => rigs.find((r) => r.file === file).id;
const portal = id('bramble-portal.rig.yaml');
const bought = id('bramble.rig.yaml');
const gully = id('gully.rig.yaml');

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox'],
});

const wanted = process.argv.slice(2);

/** One picture: a place of the page, a window, and what a hand does before. */
async function picture(name, hash, { width = 1440, height = 900, scale = 1, look = 'light', hand } = {}) {
  if (wanted.length && !wanted.includes(name)) return;
  const page = await browser.newPage({
    viewport: { width, height },
    deviceScaleFactor: scale,
    colorScheme: look,
    reducedMotion: 'reduce',
  });
  await page.goto(`${url}/${hash}`);
  if (hash.includes('/rig/')) {
    await page
      .getByRole('status')
      .filter({ hasText: /^Saved/ })
      .waitFor();
    await page.getByText('Setting up the stage…').waitFor({ state: 'hidden', timeout: 60_000 });
  }
  await hand?.(page);
  await page.waitForTimeout(2500); // the fine picture of a machine without a graphics processor
  await page.screenshot({ path: join(pictures, `${name}.png`) });
  console.log(`docs/pictures/${name}.png`);
  await page.close();
}

async function pull(page, wheel, steps) {
  await page.getByRole('slider', { name: `Pull the ${wheel} wheel` }).focus();
  for (let i = 0; i < Math.abs(steps); i++) await page.keyboard.press(steps > 0 ? 'ArrowRight' : 'ArrowLeft');
  await page.evaluate(() => document.activeElement?.blur());
}

mkdirSync(pictures, { recursive: true });
try {
  await picture('workbench', `#/rig/${portal}/travel?with=${bought}`);
  await picture('pull', `#/rig/${bought}/travel`, {
    hand: async (page) => {
      await pull(page, 'front right', 16);
      await pull(page, 'rear left', 40);
      await page.getByRole('heading', { name: 'As pulled', exact: true }).scrollIntoViewIfNeeded();
      await page.evaluate(() =>
        document.querySelector('[data-now]')?.closest('.card')?.scrollIntoView({ block: 'start' }),
      );
    },
  });
  await picture('compare', `#/rig/${portal}/compare?with=${bought}`, {
    hand: async (page) => {
      await page.getByRole('button', { name: 'side', exact: true }).click();
      await page
        .getByRole('heading', { name: 'Number by number' })
        .evaluate((e) => e.closest('.card')?.scrollIntoView({ block: 'start' }));
    },
  });
  await picture('balance', `#/rig/${bought}/balance`, {
    hand: (page) => page.getByRole('button', { name: 'weight', exact: true }).click(),
  });
  const ground = async (page, name, steps) => {
    const card = page.getByRole('region', { name: /^Stand it on/ });
    await card.getByRole('button', { name, exact: true }).click();
    await card.getByRole('slider').fill(String(steps));
    await card.evaluate((e) => e.scrollIntoView({ block: 'start' }));
    await page.evaluate(() => document.activeElement?.blur());
  };
  await picture('ride', `#/rig/${portal}/ride?with=${bought}`, { hand: (page) => ground(page, 'left down', 36) });
  await picture('ramp', `#/rig/${bought}/ride`, { look: 'dark', hand: (page) => ground(page, 'ramp left', 44) });
  // The file itself, as it opens in a browser, and its preview in the workbench.
  await picture('sheet', `api/rigs/${portal}/sheet?against=${bought}`, { width: 980, height: 1330 });
  await picture('sheet-preview', `#/rig/${portal}/sheet?with=${bought}`, {
    look: 'dark',
    hand: (page) => page.locator('iframe').evaluate((e) => e.closest('.card')?.scrollIntoView({ block: 'start' })),
  });
  // A search of the demo, to its end: the front, and one build of it on the stage.
  await picture('search', `#/rig/${portal}/search`, {
    hand: async (page) => {
      await page.getByRole('button', { name: /^Search/ }).click();
      await page.getByRole('heading', { name: 'Builds worth making' }).waitFor({ timeout: 300_000 });
      await page.locator('.spot').nth(4).locator('circle').last().click();
      await page
        .getByRole('heading', { name: 'How sure these numbers are' })
        .or(page.getByText('How sure these numbers are'))
        .first()
        .waitFor();
      await page.locator('figure').evaluate((e) => e.scrollIntoView({ block: 'start' }));
    },
  });
  await picture('dark', `#/rig/${gully}/travel`, {
    look: 'dark',
    hand: (page) => page.getByRole('button', { name: 'swing', exact: true }).click(),
  });
  await picture('parts', `#/rig/${bought}/rig`, {
    hand: (page) =>
      page
        .locator('.part')
        .filter({ has: page.getByText('battery', { exact: true }) })
        .first()
        .click(),
  });
  await picture('phone', `#/rig/${bought}/travel`, { width: 390, height: 844, scale: 2 });
  await picture('begin', '#/begin', {
    height: 640,
    hand: async (page) => {
      await page.getByLabel('What is it called?').fill('Thistle');
      await page.keyboard.press('Enter');
      await page.keyboard.type('305');
    },
  });
} finally {
  await browser.close();
  const gone = new Promise((resolve) => child.once('exit', resolve));
  child.removeAllListeners('exit');
  child.once('exit', () => rmSync(folder, { recursive: true, force: true }));
  child.kill();
  void gone;
}
