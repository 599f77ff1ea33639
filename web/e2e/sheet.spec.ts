import AxeBuilder from '@axe-core/playwright';
import { readFileSync } from 'node:fs';
import { sections } from '../src/questions/sheet/ask';
import { expect, stageReady, test } from './program';

const bought = 'bramble.rig.yaml';
const portal = 'bramble-portal.rig.yaml';

test('the preview is the sheet, follows what is chosen, and a save', async ({ page, bench, program }) => {
  await bench(portal, 'sheet', bought);
  const sheet = page.frameLocator('iframe[title="The sheet"]');
  await expect(sheet.getByRole('heading', { level: 1 })).toHaveText('Bramble on portals');
  await expect(sheet.getByText('held against Bramble, as bought')).toBeVisible();
  await expect(sheet.getByRole('img', { name: /The rig from its left side/ })).toBeVisible();
  for (const s of sections) await expect(sheet.locator(`section[aria-labelledby="${s.key}"]`)).toHaveCount(1);

  // What the number is on the sheet, the command line says too.
  const answer = program.say<{ mass_kg: number }>('balance', `${process.cwd()}/../examples/${portal}`, '--json');
  const mass = sheet.locator('section[aria-labelledby="key"] tr', { hasText: /^mass/ });
  await expect(mass).toContainText(`${Math.round(answer.mass_kg * 1000)} g`);

  await page.getByRole('checkbox', { name: 'Plots' }).uncheck();
  await page.getByRole('combobox', { name: 'Units' }).selectOption('us');
  await expect(sheet.locator('section[aria-labelledby="plots"]')).toHaveCount(0);
  await expect(sheet.getByText('US customary, metric beside')).toBeVisible();
  await page.getByLabel('Held against').selectOption({ label: 'nothing: a set-up sheet' });
  await expect(sheet.getByText('held against')).toHaveCount(0);
  await expect(page.getByRole('checkbox', { name: 'What changed' })).toHaveCount(0);

  await expect(sheet.getByText(/revision 1$/)).toBeVisible();
  await page.getByRole('link', { name: /^rig/ }).click();
  await page.getByRole('button', { name: /^belly / }).click();
  await page.getByLabel('Weight of one').fill('71');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await page.getByRole('link', { name: /^sheet/ }).click();
  await expect(sheet.getByText(/revision 2$/)).toBeVisible();
});

test('every format is a file to keep, named by the rig', async ({ page, bench }) => {
  await bench(portal, 'sheet', bought);
  for (const [name, ending, begins] of [
    ['PDF', 'pdf', '%PDF-1.'],
    ['HTML', 'html', '<!doctype html>'],
    ['Markdown', 'md', '# Bramble on portals'],
    ['CSV', 'csv', 'number,question,value,unit'],
  ] as const) {
    const coming = page.waitForEvent('download');
    await page.getByRole('link', { name, exact: true }).click();
    const file = await coming;
    expect(file.suggestedFilename()).toBe(`bramble-portal.${ending}`);
    expect(readFileSync(await file.path(), 'latin1').startsWith(begins), `${name} begins with ${begins}`).toBe(true);
  }
});

test('with nothing ticked it says so, and keeps the table of numbers', async ({ page, bench }) => {
  await bench(bought, 'sheet');
  await expect(page.getByRole('checkbox', { name: 'Cautions' })).toBeVisible(); // all() does not wait
  for (const box of await page.getByRole('checkbox').all()) await box.uncheck();
  await expect(page.getByText('Nothing is chosen: tick a section.')).toBeVisible();
  await expect(page.locator('iframe')).toHaveCount(0);
  await expect(page.getByRole('link', { name: 'CSV', exact: true })).toBeVisible();
  await expect(page.getByRole('link', { name: 'PDF', exact: true })).toHaveCount(0);
});

for (const look of ['light', 'dark'] as const) {
  for (const width of [1440, 390]) {
    test(`axe finds nothing on the page and in the sheet: ${look}, ${width} px`, async ({ page, program }) => {
      test.setTimeout(180_000);
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: look, reducedMotion: 'reduce' });
      const [id, other] = [await program.id(portal), await program.id(bought)];
      const clean = async (where: string, axe: AxeBuilder): Promise<void> => {
        const found = await axe.analyze();
        expect(
          found.violations.map((v) => `${where}: ${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`),
        ).toEqual([]);
        const over = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        expect(over, `${where} is wider than the window`).toBeLessThanOrEqual(0);
      };
      await page.goto(`${program.url}/#/rig/${id}/sheet?with=${other}`);
      await stageReady(page);
      await expect(page.frameLocator('iframe').getByRole('heading', { level: 1 })).toBeVisible();
      await clean('page', new AxeBuilder({ page }).exclude('iframe')); // no script runs in there, axe's neither
      // The file itself, as somebody opens it who was sent it.
      await page.goto('about:blank');
      await page.setContent(await (await fetch(`${program.url}/api/rigs/${id}/sheet?against=${other}`)).text());
      await clean('sheet', new AxeBuilder({ page }));
    });
  }
}
