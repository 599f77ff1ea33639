import { readFile } from 'node:fs/promises';
import AxeBuilder from '@axe-core/playwright';
import { examples, expect, test } from './program';

const file = 'bramble-bench.rig.yaml';

interface Said {
  agreement: { chi_square: number; freedom: number };
  readings: { text: string; difference_text: string; fits: boolean }[];
  corrections: { what: string; change_text: string }[];
}

test('bench: readings, verdict and corrections are those of the command line', async ({ page, bench, program }) => {
  await bench(file, 'bench');
  // Something was found, so the command ends with a finding in its status when it says stop; here it only watches.
  const said = program.say<Said>('bench', `${examples}${file}`, '--json');
  const card = page.getByRole('region', { name: 'Does the model agree?' });
  await expect(card).toContainText(
    `χ² ${said.agreement.chi_square.toFixed(1)} with ${said.agreement.freedom} degrees of freedom`,
  );
  const table = page.getByRole('region', { name: 'What was read' });
  for (const r of said.readings) {
    const row = table.getByRole('listitem').filter({ hasText: r.text });
    await expect(row).toContainText(r.difference_text.replace('-', '−'));
    if (!r.fits) await expect(row).toContainText('does not fit the others');
  }
  const off = page.getByRole('region', { name: 'What is most probably off' });
  for (const c of said.corrections.slice(0, 5))
    await expect(off.getByRole('listitem').filter({ hasText: c.what })).toContainText(c.change_text.replace('-', '−'));
  await expect(page.getByRole('img', { name: /^wheelbase on the right: 2\.\d of its band above/ })).toBeVisible();
});

test('bench: a reading is mended by keyboard, set aside, written down and undone', async ({ page, bench }) => {
  await bench(file, 'bench');
  const table = page.getByRole('region', { name: 'What was read' });
  const card = page.getByRole('region', { name: 'Does the model agree?' });
  await expect(card).toContainText('does not agree');

  await page.getByRole('textbox', { name: 'wheelbase on the right, mm' }).fill('312.2');
  await page.keyboard.press('Enter');
  await expect(card).toContainText('The model agrees with the 16 readings');
  await page.getByRole('button', { name: 'Set pinion rear aside' }).click();
  await expect(card).toContainText('The model agrees with the 15 readings');
  await page.getByRole('button', { name: 'Use pinion rear again' }).click();
  await expect(card).toContainText('The model agrees with the 16 readings');

  const form = page.getByRole('form', { name: 'Write down a reading' });
  await form.getByLabel('Write down').selectOption({ label: 'Load on the front axle, the other raised to 20.0°' });
  await form.getByRole('button', { name: 'Keep it' }).click();
  await expect(table.getByRole('alert')).toContainText('expected a number in g');
  await form.getByLabel('Reading, g').fill('1514');
  await form.getByRole('button', { name: 'Keep it' }).click();
  await expect(card).toContainText('The model agrees with the 17 readings');
  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(card).toContainText('The model agrees with the 16 readings');
});

test('bench: corrections become a build, and the sheet a file', async ({ page, bench, program }) => {
  await bench(file, 'bench');
  const coming = page.waitForEvent('download');
  await page.getByRole('link', { name: 'PDF', exact: true }).click();
  const pdf = await coming;
  expect(pdf.suggestedFilename()).toBe('bench.pdf');
  expect(await readFile(await pdf.path(), 'latin1')).toMatch(/^%PDF-/);

  await page.getByRole('button', { name: 'Open the corrections as a build, and compare' }).click();
  await expect(page.getByRole('heading', { name: 'compare' })).toBeVisible();
  await expect(page.getByRole('region', { name: 'Answer: compare' })).toContainText(
    'Bramble on the bench, as measured',
  );
  expect((await program.rigs()).map((r) => r.file)).toContain('bramble-bench-measured.rig.yaml');
});

test('bench: a rig without readings says what to measure', async ({ page, bench }) => {
  await bench('bramble.rig.yaml', 'bench');
  await expect(page.getByRole('region', { name: 'What was read' })).toContainText('Nothing yet');
  await expect(page.getByRole('region', { name: 'What to measure next' })).toContainText('Measure the');
});

for (const look of ['light', 'dark'] as const) {
  for (const width of [1440, 390]) {
    test(`bench: axe finds nothing, nothing hangs over, ${look}, ${width} px`, async ({ page, bench }) => {
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: look, reducedMotion: 'reduce' });
      await bench(file, 'bench');
      await expect(page.getByRole('region', { name: 'What is most probably off' })).toBeVisible();
      const found = await new AxeBuilder({ page }).include('#answer').analyze();
      expect(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`)).toEqual(
        [],
      );
      const over = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(over).toBeLessThanOrEqual(0);
      if (process.env['LOWSLUNG_LOOK'])
        await page.screenshot({ path: `${process.env['LOWSLUNG_LOOK']}/bench-${look}-${width}.png`, fullPage: true });
    });
  }
}
