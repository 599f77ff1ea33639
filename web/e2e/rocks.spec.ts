import AxeBuilder from '@axe-core/playwright';
import type { Locator, Page } from '@playwright/test';
import { examples, expect, stageReady, test, type Program } from './program';

const bought = 'bramble.rig.yaml';
const portal = 'bramble-portal.rig.yaml';

interface Said {
  limits: { obstacle: string; cleared: number; next: { size: number; outcome: string } }[];
  run: {
    ended: { outcome: string; sentence: string };
    frames: { time_s: number; speed_m_per_s: number; front: { left: { load_n: number } } }[];
  };
  by_grip: { rows: { grip: number; this: number; other: number }[] };
}
const said = (program: Program, ...more: string[]): Said =>
  program.say<Said>('rocks', '--json', ...more, examples + portal);

const play = (page: Page): Locator => page.getByRole('region', { name: /^The run/ });
const ask = (page: Page): Locator => page.getByRole('region', { name: 'Drive it' });
const limits = (page: Page): Locator => page.getByRole('region', { name: 'The largest that is cleared' });
const onStage = (page: Page): Locator => page.locator('.words .label');

test('a run: the page says what the command line says, and the stage goes with the slider', async ({
  page,
  program,
  bench,
}) => {
  test.setTimeout(90_000);
  await bench(portal, 'rocks');
  await stageReady(page);
  await ask(page).getByLabel('Obstacle').selectOption('climb');
  await ask(page)
    .getByLabel(/^Slope/)
    .fill('50');
  await ask(page).getByLabel(/^Grip/).fill('0.7');
  await ask(page).getByRole('button', { name: 'Drive' }).click();
  const s = said(program, '--obstacle', 'climb', '--angle', '50', '--grip', '0.7', '--frames');
  expect(s.run.ended.outcome).not.toBe('through');
  await expect(play(page).locator('[data-ended]')).toHaveText(s.run.ended.sentence);
  await expect(page.getByText(/0\.5 to 1\.0 is an assumption/).first()).toBeVisible();
  const slider = play(page).getByRole('slider');
  await expect(slider).toHaveAttribute('max', String(s.run.frames.length - 1));
  // By keyboard: to the end and one back.
  await slider.focus();
  await page.keyboard.press('End');
  const timeAt = (i: number): string => `${(s.run.frames.at(i)?.time_s ?? NaN).toFixed(2)} s`;
  await expect(play(page).locator('[data-at]')).toHaveText(timeAt(-1));
  await expect(
    onStage(page)
      .filter({ hasText: /stalled|slid back|rolled|over/ })
      .first(),
  ).toBeVisible();
  await page.keyboard.press('ArrowLeft');
  await expect(play(page).locator('[data-at]')).toHaveText(timeAt(-2));
  // Playing goes on from the start and can be stopped.
  await play(page).getByRole('button', { name: 'Start' }).click();
  const load = s.run.frames[0]?.front.left.load_n ?? 0;
  if (load > 0)
    await expect(
      onStage(page)
        .filter({ hasText: `${load.toFixed(2)}\u00a0N` })
        .first(),
    ).toBeVisible();
  await play(page).getByRole('button', { name: 'Play' }).click();
  await expect(play(page).locator('[data-at]')).not.toHaveText(/^0\.0\d s$/);
  await play(page).getByRole('button', { name: 'Pause' }).click();
  // A bad size is refused with what was expected, and the run stays.
  await ask(page)
    .getByLabel(/^Slope/)
    .fill('99');
  await ask(page).getByRole('button', { name: 'Drive' }).click();
  await expect(page.getByRole('alert').filter({ hasText: 'expected 3° to 75°' })).toBeVisible();
  await expect(play(page).locator('[data-ended]')).toHaveText(s.run.ended.sentence);
});

test('limits: the command line’s, each a run that can be played', async ({ page, program, bench }) => {
  test.setTimeout(120_000);
  await bench(portal, 'rocks');
  const s = said(program);
  const rows = limits(page).locator('tbody tr');
  await expect(rows).toHaveCount(s.limits.length, { timeout: 60_000 });
  for (const [i, l] of s.limits.entries()) {
    await expect(rows.nth(i).getByRole('rowheader')).toHaveText(l.obstacle);
    await expect(rows.nth(i).locator('td').first()).toContainText(String(l.cleared));
  }
  await rows
    .nth(0)
    .getByRole('button', { name: /that is cleared/ })
    .click();
  await expect(play(page).locator('[data-ended="through"]')).toBeVisible();
  await rows.nth(0).getByRole('button').last().click();
  await expect(play(page).locator(`[data-ended="${s.limits[0]?.next.outcome}"]`)).toBeVisible();
  await expect(ask(page).locator('[data-size]')).toHaveValue(new RegExp(String(s.limits[0]?.next.size)));
});

test('a map of heights is driven, and a broken one is refused with its line', async ({ page, program, bench }) => {
  await bench(portal, 'rocks');
  void program;
  const file = (text: string): { name: string; mimeType: string; buffer: Buffer } => ({
    name: 'garden.txt',
    mimeType: 'text/plain',
    buffer: Buffer.from(text),
  });
  const flat = `cell 100 mm\n${'0 0 0 0 0 0\n'.repeat(14)}`;
  await expect(play(page)).toBeVisible();
  await ask(page)
    .getByLabel(/map of heights/)
    .setInputFiles(file(flat));
  await expect(play(page).getByRole('heading')).toHaveText(/over the map/i);
  await expect(play(page).locator('[data-ended="through"]')).toBeVisible();
  await ask(page)
    .getByLabel(/map of heights/)
    .setInputFiles(file('cell 100 mm\n0 0 0\n0 x 0\n'));
  await expect(page.getByRole('alert').filter({ hasText: 'line 3: found "x"' })).toBeVisible();
});

for (const [look, width] of [
  ['light', 1440],
  ['dark', 390],
] as const) {
  test(`axe finds nothing on rocks, ${look}, ${width} px`, async ({ page, program }) => {
    test.setTimeout(120_000);
    await page.setViewportSize({ width, height: 900 });
    await page.emulateMedia({ colorScheme: look, reducedMotion: 'reduce' });
    const [id, other] = [await program.id(portal), await program.id(bought)];
    await page.goto(`${program.url}/#/rig/${id}/rocks?with=${other}`);
    await stageReady(page);
    await expect(limits(page).locator('tbody tr')).toHaveCount(7, { timeout: 90_000 });
    await expect(limits(page).getByRole('columnheader', { name: /as bought/ })).toBeVisible();
    await play(page)
      .getByRole('button', { name: /Through|Where it ends/ })
      .click();
    const found = await new AxeBuilder({ page }).analyze();
    expect(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`)).toEqual([]);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    expect(over, 'wider than the window').toBeLessThanOrEqual(0);
    if (process.env['ROCKS_SHOT'])
      await page.screenshot({ path: `${process.env['ROCKS_SHOT']}-${look}-${width}.png`, fullPage: true });
  });
}
