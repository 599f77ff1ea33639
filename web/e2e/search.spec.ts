import { readFile } from 'node:fs/promises';
import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { expect, stageReady, test, type Program } from './program';

const bought = 'bramble.rig.yaml';

/** Writes a search section into the rig, one line of YAML, before the page is opened. */
async function section(program: Program, value: string): Promise<string> {
  const id = await program.id(bought);
  const got = await fetch(`${program.url}/api/rigs/${id}`);
  const saved = await fetch(`${program.url}/api/rigs/${id}/edit`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', 'If-Match': got.headers.get('ETag') ?? '' },
    body: JSON.stringify({ changes: [{ path: ['search'], value }] }),
  });
  if (!saved.ok) throw new Error(await saved.text());
  return id;
}

const turns = (to: number): string =>
  `{vary: {lower: {change: links/rear lower/turns, from: 0, to: ${to}, step: 1}, upper: {change: links/rear upper/turns, from: 0, to: ${to}, step: 1}}, ` +
  'wants: {wheelbase: {from: 300, to: 324}, rear pinion angle: {from: -20, to: 30}, rear anti-squat: {from: -300 %}}, ' +
  'prefer: {rear pinion angle swing: lower, rear anti-squat: higher}}';

async function searched(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Search', exact: true }).click();
  await expect(page.getByRole('heading', { name: /^Builds worth making$/ })).toBeVisible({ timeout: 30_000 });
}

test('search: from nothing to a section, by ticks and forms; each tick is in the document', async ({
  page,
  bench,
  program,
}) => {
  await bench(bought, 'search');
  await expect(page.getByRole('heading', { name: 'Nothing may change yet' })).toBeVisible();
  await page.getByRole('button', { name: 'Begin with the proposal' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await expect(page.getByText(/combinations\.$/)).toBeVisible();
  const before = await page.locator('.big').textContent();

  const lower = page.getByRole('group').filter({ has: page.getByText('rear lower', { exact: true }) });
  await lower.getByRole('checkbox', { name: /^rod any rod/ }).uncheck();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();
  await expect(page.locator('.big')).not.toHaveText(before ?? '');

  const any = page.getByRole('checkbox', { name: 'Any value of rear lower turns between' });
  await expect(any).not.toBeChecked();
  await any.check();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 4/ })).toBeVisible();
  await expect(lower.getByText(/any value between$/)).toBeVisible();
  await any.uncheck();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 5/ })).toBeVisible();
  await expect(lower.getByText(/^turns 0 to \d+ by 1$/)).toBeVisible();

  const aims = page.getByRole('region', { name: 'What a build must reach, and what is better' });
  await aims.getByLabel('Number').first().fill('rear anti-squat');
  await aims.getByLabel('At least').fill('35 %');
  await expect(aims.getByRole('button', { name: 'Want it' })).toBeEnabled();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 6/ })).toBeVisible();
  await expect(aims.getByText('at least 35 %')).toBeVisible();
  await aims.getByLabel('Number').last().fill('front share');
  await aims.getByLabel('Which way').selectOption('higher');
  await aims.getByRole('button', { name: 'Prefer it' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 7/ })).toBeVisible();
  await expect(aims.getByText('higher is better')).toBeVisible();
  await aims.getByRole('button', { name: /^front share matters more than/ }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 8/ })).toBeVisible();
  await expect(
    aims
      .getByRole('listitem')
      .filter({ hasText: /is better/ })
      .first(),
  ).toContainText('front share');
  await aims.getByRole('button', { name: 'Take front share out of what is preferred' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 9/ })).toBeVisible();

  // A price may be said with its currency, and is told with it; a number that is none is said to be none.
  await aims.getByLabel('Number').first().fill('pryce');
  await expect(aims.getByText('no number is called so')).toBeVisible();
  await aims.getByLabel('Number').first().fill('price');
  await expect(aims.getByText('Prices are in EUR.')).toBeVisible();
  await aims.getByLabel('At most').fill('30 EUR');
  await expect(aims.getByRole('button', { name: 'Want it' })).toBeEnabled();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 10/ })).toBeVisible();
  await expect(aims.getByText('at most 30.00 EUR')).toBeVisible();

  const rig = (await (await fetch(`${program.url}/api/rigs/${await program.id(bought)}`)).json()) as { text: string };
  expect(rig.text).toContain('rear anti-squat');
  expect(rig.text).not.toContain('links/rear lower/rod/item');
  expect(rig.text).toContain('links/rear upper/rod/item');
});

test('search: a build is picked by keyboard, stands on the stage, is opened and compared', async ({
  page,
  bench,
  program,
}) => {
  const id = await section(program, turns(4));
  await bench(bought, 'search');
  await stageReady(page);
  await searched(page);
  await page.getByRole('radio', { name: 'as it is' }).focus();
  await page.keyboard.press('ArrowDown');
  await expect(page.getByRole('radio', { name: 'build 1', exact: true })).toBeChecked();
  await expect(page.getByText('Found by search, at ride height.')).toBeVisible();
  await expect(page.getByRole('heading', { name: 'Build 1', exact: true })).toBeVisible();
  await page.getByText('How sure these numbers are').click();
  await expect(page.getByText('Worth measuring better first')).toBeVisible();
  expect((await new AxeBuilder({ page }).analyze()).violations.map((v) => `${v.id}: ${v.nodes[0]?.html}`)).toEqual([]);

  // What the page says of the build is what the program says of it.
  const runs = (await (await fetch(`${program.url}/api/rigs/${id}/searches`)).json()) as { searches: { id: string }[] };
  const run = runs.searches[0]?.id ?? '';
  const answer = (await (await fetch(`${program.url}/api/searches/${run}/answer`)).json()) as {
    builds: { changes: { path: string; after: string }[]; patch: string }[];
  };
  const first = answer.builds[0];
  for (const c of first?.changes ?? []) await expect(page.getByRole('rowheader', { name: c.path })).toBeVisible();

  await page.getByRole('button', { name: 'What to buy' }).click();
  await expect(page.getByText(/^(Together|Nothing: it is all)/)).toBeVisible();

  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Shopping list (CSV)' }).click();
  expect(await readFile(await (await coming).path(), 'utf8')).toMatch(/^to buy,needed,have,what,/);

  await page.getByRole('button', { name: 'Open and compare with the present one' }).click();
  await expect(page.getByRole('heading', { name: 'compare', exact: true })).toBeVisible();
  await expect(page.getByRole('rowheader', { name: /links\/rear (lower|upper)\/turns/ }).first()).toBeVisible();
  const made = (await program.rigs()).find((r) => r.file === 'bramble-found-1.rig.yaml');
  expect(made).toBeDefined();
  const text = ((await (await fetch(`${program.url}/api/rigs/${made?.id}`)).json()) as { text: string }).text;
  expect(text).toBe(first?.patch);
});

test('search: a point of the plot is clicked through', async ({ page, bench, program }) => {
  await section(program, turns(4));
  await bench(bought, 'search');
  await searched(page);
  const spots = page.locator('.spot');
  expect(await spots.count()).toBeGreaterThan(1);
  await spots.last().locator('circle').last().click();
  const last = await spots.count();
  await expect(page.getByRole('radio', { name: `build ${last}`, exact: true })).toBeChecked();
  await page.reload();
  await expect(page.getByRole('heading', { name: 'Builds worth making' })).toBeVisible();
});

test('search: stopped and continued; the program is killed in the middle and takes it up', async ({
  page,
  bench,
  program,
}) => {
  test.setTimeout(120_000);
  // Whole builds must be asked for this want, which takes long.
  await section(
    program,
    turns(9).replace('wants: {', 'wants: {tip angle left: {from: 20}, ramp travel index: {from: 10}, '),
  );
  await bench(bought, 'search');
  await page.getByRole('button', { name: 'Search', exact: true }).click();
  await expect(page.getByRole('progressbar')).toBeInViewport();
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await expect(page.getByText(/: stopped/)).toBeVisible();
  await page.getByRole('button', { name: 'Continue' }).click();
  await expect(page.getByRole('progressbar')).toBeVisible();
  await program.kill();
  await expect(page.getByText('The program does not answer.')).toBeVisible();
  await program.start();
  await expect(page.getByText('The program does not answer.')).toBeHidden({ timeout: 20_000 });
  await expect(page.getByRole('heading', { name: 'Builds worth making' })).toBeVisible({ timeout: 90_000 });
  await page.getByRole('button', { name: /^Forget the search/ }).click();
  await expect(page.getByRole('heading', { name: 'Builds worth making' })).toBeHidden();
});
