import { expect, numberIn, stageReady, test, type Program } from './program';
import type { Page } from '@playwright/test';

const massOf = async (page: Page): Promise<number> => {
  await page.getByRole('link', { name: /^balance/ }).click();
  return numberIn(await page.locator('[data-number="mass"]').textContent());
};

const weight = (page: Page) => page.getByRole('textbox', { name: 'Weight of one' });

async function openPart(page: Page, name: string): Promise<void> {
  await page.getByRole('link', { name: /^rig/ }).click();
  await page
    .locator('.part')
    .filter({ has: page.getByText(name, { exact: true }) })
    .first()
    .click();
}

async function setWeight(page: Page, part: string, text: string): Promise<void> {
  await openPart(page, part);
  await weight(page).fill(text);
  await page.getByRole('button', { name: 'Save', exact: true }).click();
}

test('a weight edited in place changes balance, and undo takes it back', async ({ page, program, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  const before = await massOf(page);
  await setWeight(page, 'belly', '154');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  expect(await massOf(page)).toBe(before + 100); // the belly weighs 54 g in the document
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();
  await expect(page.locator('[data-number="mass"]')).toHaveText(`${before}\u00a0g`);
  await page.getByRole('button', { name: 'Redo' }).click();
  await expect(page.locator('[data-number="mass"]')).toHaveText(`${before + 100}\u00a0g`);
  expect((await program.rigs()).find((r) => r.file === 'bramble.rig.yaml')?.revision).toBe(4);
});

test('a value that makes no sense is refused at its field, and stays there to be mended', async ({ page, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  await setWeight(page, 'belly', '54 mm');
  await expect(page.getByText(/found .*54 mm.*expected a mass/)).toBeVisible();
  await expect(weight(page)).toHaveValue('54 mm');
  await weight(page).fill('2 oz');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await expect(weight(page)).toHaveValue('2 oz');
});

test('a bare number means the unit beside the field', async ({ page, program, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  await page.getByRole('button', { name: 'in oz' }).click();
  await setWeight(page, 'belly', '2');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  expect(await textOf(program, 'bramble.rig.yaml')).toMatch(/belly:\n\s+kind: skid\n\s+mass: 2 oz/);
});

const textOf = async (program: Program, file: string): Promise<string> => {
  const answer = (await (await fetch(`${program.url}/api/rigs/${await program.id(file)}`)).json()) as { text: string };
  return answer.text;
};

test('a link eye moved to another hole changes the pinion angle', async ({ page, program, bench }) => {
  await bench('gully.rig.yaml', 'travel');
  const angle = page.locator('[data-now="front pinion angle"]');
  const before = await angle.textContent();
  await openPart(page, 'front upper');
  await page.getByLabel('Chassis eye').selectOption('skid/front upper high');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await page.getByRole('link', { name: /^travel/ }).click();
  await expect(angle).not.toHaveText(before ?? '');
  expect(await textOf(program, 'gully.rig.yaml')).toContain('from: skid/front upper high');
});

test('a change that would break a build on top of this one says which', async ({ page, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  await openPart(page, 'rear upper');
  await page.getByLabel('Chassis eye').selectOption('belly/rear upper high');
  await expect(page.getByRole('alert').filter({ hasText: 'bramble-portal.rig.yaml builds on it' })).toBeVisible();
  await expect(page.getByLabel('Chassis eye')).toHaveValue('belly/rear upper low');
});

test('an item from the bin takes the place of another', async ({ page, program, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  await openPart(page, 'battery');
  await page.getByRole('button', { name: /^Swap pack-3s-2200/ }).click();
  const other = page.getByRole('row').filter({ hasText: 'pack-' }).filter({ hasNotText: 'in use' }).first();
  const id = (await other.locator('.small').first().textContent()) ?? '';
  await other.getByRole('button', { name: /^Use / }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  expect(await textOf(program, 'bramble.rig.yaml')).toContain(`item: ${id}`);
});

test('the text editor says what is wrong on its line, keeps the text, and saves it once it is right', async ({
  page,
  program,
  bench,
}) => {
  await bench('bramble.rig.yaml', 'rig');
  await page.getByRole('button', { name: 'Text', exact: true }).click();
  const area = page.getByRole('textbox', { name: 'bramble.rig.yaml' });
  const good = await area.inputValue();
  const line = good.split('\n').findIndex((l) => l.trim() === 'mass: 54') + 1;
  expect(line).toBeGreaterThan(1);
  await area.fill(good.replace('mass: 54\n', 'mass: 54 furlongs\n'));
  await area.press('Control+s');
  await expect(page.getByRole('alert').filter({ hasText: 'furlongs' })).toBeVisible();
  await expect(page.getByRole('button', { name: `line ${line}` })).toBeVisible();
  await expect(page.locator('.gutter .bad')).toHaveText(`✗ ${line}`);
  expect(await textOf(program, 'bramble.rig.yaml')).toBe(good);

  // Closing the page loses nothing of it.
  await page.reload();
  await expect(area).toHaveValue(/54 furlongs/);
  await area.fill(good.replace('mass: 54\n', 'mass: 55\n'));
  await area.press('Control+s');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  expect(await textOf(program, 'bramble.rig.yaml')).toBe(good.replace('mass: 54\n', 'mass: 55\n'));
});

test('history: look at a revision and go back to it', async ({ page, program, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  const first = await textOf(program, 'bramble.rig.yaml');
  await setWeight(page, 'belly', '60');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await page.getByRole('button', { name: 'History' }).click();
  await page.getByRole('button', { name: 'Look at revision 1' }).click();
  await expect(page.getByRole('dialog').locator('pre')).toContainText('mass: 54');
  await page.getByRole('button', { name: 'Go back to revision 1' }).click();
  await expect(page.getByRole('dialog').getByText('Back to revision 1')).toBeVisible();
  expect(await textOf(program, 'bramble.rig.yaml')).toBe(first);
});

test('on the stage: click a link eye, then another hole, and say yes', async ({ page, program, bench }) => {
  await bench('gully.rig.yaml', 'rig');
  await stageReady(page);
  await openPart(page, 'front upper');
  await page.getByRole('button', { name: 'Show me on the stage' }).first().click();
  await expect(page.getByText('Click the hole that the chassis eye of')).toBeVisible();
  // Look for the hole by what the stage says is under the pointer.
  await page.getByRole('button', { name: 'side', exact: true }).click();
  await page.waitForTimeout(1200);
  const box = await page.locator('canvas').first().boundingBox();
  if (!box) throw new Error('no stage');
  let found: { x: number; y: number } | null = null;
  search: for (let y = 0.38; y < 0.7; y += 0.008) {
    for (let x = 0.5; x < 0.68; x += 0.006) {
      await page.mouse.move(box.x + box.width * x, box.y + box.height * y);
      const under = page.locator('.under');
      if ((await under.count()) && /front upper high/.test((await under.textContent()) ?? '')) {
        found = { x: box.x + box.width * x, y: box.y + box.height * y };
        break search;
      }
    }
  }
  if (!found) throw new Error('the hole is not under the pointer anywhere');
  await page.mouse.click(found.x, found.y);
  await page.getByRole('button', { name: 'Move it' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  expect(await textOf(program, 'gully.rig.yaml')).toContain('from: skid/front upper high');
});
