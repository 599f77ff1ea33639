import { readFile } from 'node:fs/promises';
import { examples, expect, test } from './program';

const portal = 'bramble-portal.rig.yaml';

test('shop: helpers to print are those of the command line, and come as files', async ({ page, bench, program }) => {
  await bench(portal, 'shop');
  const said = program.say<{ prints: { name: string; title: string }[] }>(
    'shop',
    'prints',
    '--json',
    `${examples}bramble-portal.rig.yaml`,
  );
  const card = page.getByRole('region', { name: 'Helpers to print' });
  for (const p of said.prints) await expect(card.getByRole('heading', { name: p.title, exact: true })).toBeVisible();

  await card.getByLabel('Show').selectOption('battery tray');
  await expect(card.locator('.prints > li')).toHaveCount(1);
  const mf = page.waitForEvent('download');
  await card.getByRole('link', { name: '3MF' }).click();
  expect((await readFile(await (await mf).path())).subarray(0, 2).toString()).toBe('PK');
  const stl = page.waitForEvent('download');
  await card.getByRole('link', { name: 'STL' }).click();
  const data = await readFile(await (await stl).path());
  expect(data.length).toBe(84 + 50 * data.readUInt32LE(80)); // a binary STL: header, count, 50 bytes for each triangle

  // A gauge for a length of one's own, and a tolerance that is no length.
  await card.getByLabel('A gauge for one more length').fill('101.6');
  await card.getByLabel('A gauge for one more length').press('Tab');
  await card.getByLabel('Show').selectOption('length gauge');
  await expect(card.getByRole('heading', { name: 'Length gauge of 101.6 mm' })).toBeVisible();
  await card.getByLabel('Tolerance of the printer').fill('3 g');
  await card.getByLabel('Tolerance of the printer').press('Tab');
  await expect(card.getByRole('alert')).toContainText('tolerance');
});

test('shop: the order of work is ticked off and remembered, and comes on paper', async ({ page, bench }) => {
  await bench(portal, 'shop');
  const card = page.getByRole('region', { name: 'The order of work' });
  await expect(card.getByText(/^0 of \d+ done$/)).toBeVisible();
  await card.getByRole('checkbox', { name: 'Make belly of PA12.' }).check();
  await page.reload();
  await expect(card.getByRole('checkbox', { name: 'Make belly of PA12.' })).toBeChecked();
  await card.getByText('Rear suspension').click();
  await expect(card.getByText('129.00 mm')).toBeVisible();
  const coming = page.waitForEvent('download');
  await card.getByRole('link', { name: 'PDF' }).click();
  expect((await readFile(await (await coming).path(), 'latin1')).slice(0, 5)).toBe('%PDF-');
});

test('shop: what links stand follows the loads, a drawn part is weighed, the rig goes elsewhere', async ({
  page,
  bench,
  program,
}) => {
  await bench(portal, 'shop');
  const strength = page.getByRole('region', { name: 'What the links stand' });
  const said = program.say<{ links: { name: string; strike_margin: number }[] }>(
    'shop',
    'strength',
    '--strike',
    '100',
    '--json',
    `${examples}bramble-portal.rig.yaml`,
  );
  await strength.getByLabel('A rock across the middle').fill('100');
  await strength.getByLabel('A rock across the middle').press('Tab');
  for (const l of said.links)
    await expect(strength.getByRole('row').filter({ hasText: l.name })).toContainText(
      `${l.strike_margin.toFixed(1)} ×`,
    );
  await expect(strength.getByText('it stays bent', { exact: false }).first()).toBeVisible();

  // A tetrahedron of 10 mm along each axis: 166.7 mm³, and 0.155 g of PA12 at 930 kg/m³.
  const corner = [0, 0, 0];
  const [x, y, z] = [
    [10, 0, 0],
    [0, 10, 0],
    [0, 0, 10],
  ] as const;
  const facets = [
    [corner, y, x],
    [corner, x, z],
    [corner, z, y],
    [x, y, z],
  ];
  const text = `solid t\n${facets
    .map(
      (f) => `facet normal 0 0 0\nouter loop\n${f.map((p) => `vertex ${p.join(' ')}`).join('\n')}\nendloop\nendfacet\n`,
    )
    .join('')}endsolid t\n`;
  const weigh = page.getByRole('region', { name: 'What a drawn part weighs' });
  await weigh
    .getByLabel('STL or 3MF')
    .setInputFiles({ name: 't.stl', mimeType: 'model/stl', buffer: Buffer.from(text) });
  await expect(weigh.getByRole('row').filter({ hasText: 'PA12' })).toContainText('0.2 g');
  await weigh
    .getByLabel('STL or 3MF')
    .setInputFiles({ name: 'n.stl', mimeType: 'model/stl', buffer: Buffer.from('no') });
  await expect(weigh.getByRole('alert')).toContainText('STL');

  const elsewhere = page.getByRole('region', { name: 'For other tools' });
  const coming = page.waitForEvent('download');
  await elsewhere.getByRole('link', { name: 'bramble-portal.glb' }).click();
  const file = await coming;
  expect(file.suggestedFilename()).toBe('bramble-portal.glb');
  expect((await readFile(await file.path(), 'latin1')).slice(0, 4)).toBe('glTF');
});
