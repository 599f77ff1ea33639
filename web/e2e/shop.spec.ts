import { readFile } from 'node:fs/promises';
import AxeBuilder from '@axe-core/playwright';
import { examples, expect, test } from './program';

const portal = 'bramble-portal.rig.yaml';

test('shop: the cut list is that of the command line, and its drawing is there', async ({ page, bench, program }) => {
  await bench(portal, 'shop');
  const said = program.say<{ links: { name: string; eye_to_eye_mm: number; cut_mm: number; count: number }[] }>(
    'shop',
    'cut',
    '--format',
    'json',
    `${examples}bramble-portal.rig.yaml`,
  );
  const card = page.getByRole('region', { name: 'Links to make' });
  for (const l of said.links) {
    const row = card.getByRole('listitem').filter({ has: page.getByRole('button', { name: l.name, exact: true }) });
    await expect(row).toContainText(`${l.eye_to_eye_mm.toFixed(1)} mm`);
    await expect(row).toContainText(`${l.cut_mm.toFixed(1)} mm`);
    await expect(row).toContainText(`make ${l.count}`);
  }
  const picture = card.getByRole('img', { name: /Drawings of the links, page 1/ });
  await picture.scrollIntoViewIfNeeded();
  await expect
    .poll(() => picture.evaluate((i: HTMLImageElement) => (i.complete ? i.naturalWidth : 0)))
    .toBeGreaterThan(500);
});

test('shop: templates are looked at, chosen and taken along at true size', async ({ page, bench }) => {
  await bench(portal, 'shop');
  const card = page.getByRole('region', { name: 'Templates at true size' });
  await card.getByLabel('Show').selectOption({ label: 'belly, from the left' });
  const picture = card.getByRole('img', { name: 'belly, from the left: 4 marks' });
  await picture.scrollIntoViewIfNeeded();
  await expect
    .poll(() => picture.evaluate((i: HTMLImageElement) => (i.complete ? i.naturalWidth : 0)))
    .toBeGreaterThan(300);
  await card.getByText('Its holes and marks: 4').click();
  await expect(card.getByRole('row').filter({ hasText: 'rear lower, left' })).toContainText('95.50 mm');

  await page.getByLabel('Paper', { exact: true }).selectOption('letter');
  const coming = page.waitForEvent('download');
  await card.getByRole('link', { name: 'PDF, Letter' }).click();
  const file = await coming;
  expect(file.suggestedFilename()).toBe('templates.pdf');
  const pdf = await readFile(await file.path(), 'latin1');
  expect(pdf).toMatch(/^%PDF-/);
  expect(pdf).toContain('/MediaBox [0 0 612.00 792.00]'); // 8.5 × 11 in at 72 points
  expect(pdf).toContain('/PrintScaling /None');

  for (const box of await card.getByRole('checkbox').all()) await box.uncheck();
  await expect(card.getByText('Nothing is ticked')).toBeVisible();
  await card.getByRole('checkbox', { name: 'belly' }).check();
  const dxf = page.waitForEvent('download');
  await card.getByRole('link', { name: 'this one as DXF' }).click();
  const text = await readFile(await (await dxf).path(), 'latin1');
  expect(text).toContain('AC1009');
  expect(text).toContain('HOLES');
});

test('shop: what to buy stands first, forgotten things marked', async ({ page, bench }) => {
  await bench(portal, 'shop');
  const card = page.getByRole('region', { name: 'To buy' });
  await expect(card.getByRole('row').filter({ hasText: 'Pin 2.5' })).toContainText('easily forgotten');
  await expect(card).toContainText('Sum of the prices known');
});

for (const look of ['light', 'dark'] as const) {
  for (const width of [1440, 390]) {
    test(`shop: axe finds nothing, nothing hangs over, ${look}, ${width} px`, async ({ page, bench }) => {
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: look, reducedMotion: 'reduce' });
      await bench(portal, 'shop');
      await expect(page.getByRole('region', { name: 'Templates at true size' }).getByRole('img')).toBeVisible();
      const found = await new AxeBuilder({ page }).include('#answer').analyze();
      expect(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`)).toEqual(
        [],
      );
      const over = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(over).toBeLessThanOrEqual(0);
      // The sheet stays white in the dark.
      const paper = page.getByRole('region', { name: 'Links to make' }).locator('.paper');
      expect(await paper.evaluate((e) => getComputedStyle(e).backgroundColor)).toBe('rgb(255, 255, 255)');
    });
  }
}
