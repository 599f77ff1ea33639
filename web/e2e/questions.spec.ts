import { readFile } from 'node:fs/promises';
import AxeBuilder from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { examples, expect, numberIn, stageReady, test } from './program';

const portal = 'bramble-portal.rig.yaml';

/** What the command line says as JSON, also when it ends with 1 because something stops. */
function saidWithStops<T>(say: () => T): T {
  try {
    return say();
  } catch (e) {
    return JSON.parse((e as { stdout: string }).stdout) as T;
  }
}

test('mates: what is missing is put in from the bin, and the fault is gone', async ({ page, bench, program }) => {
  await bench(portal, 'mates');
  const said = saidWithStops<{ joints: unknown[]; steps: unknown[] }>(() =>
    program.say('mates', '--json', `${examples}bramble-portal.rig.yaml`),
  );
  const needs = page.getByRole('region', { name: 'What does not go, and what is missing' });
  await expect(needs).toContainText('a pin of 2.5 mm');
  const missing = page.getByRole('button', { name: /^Missing on gearbox: a pin of 2.5 mm/ });
  await expect(missing).toBeVisible();
  // As many joints as the command line counts.
  await page.getByText('Every joint with its dimensions').click();
  await expect(page.locator('.joints li')).toHaveCount(said.joints.length);
  await expect(page.getByRole('checkbox')).toHaveCount(said.steps.length);

  await needs.getByRole('button', { name: 'Put in pin-2.5-12' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await expect(missing).toBeHidden();
  await expect(page.locator('.joints li')).toHaveCount(said.joints.length + 1);
  await expect(page.getByText('no need is left open')).toBeVisible();
  await page.getByRole('button', { name: 'Write it under mates' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();
  const rig = (await (await fetch(`${program.url}/api/rigs/${await program.id(portal)}`)).json()) as { text: string };
  expect(rig.text).toContain('[gearbox/output cross hole, gearbox output cross pin/pin]');
});

test('mates: ticks of the order of assembly stay, and the drawing is reached by keyboard', async ({ page, bench }) => {
  await bench(portal, 'mates');
  const first = page.getByRole('checkbox').first();
  await first.check();
  await expect(page.getByText(/^1 of \d+ done$/)).toBeVisible();
  await page.reload();
  await expect(page.getByRole('checkbox').first()).toBeChecked();
  await page.getByRole('button', { name: /^pinion, .*slip fit/ }).focus();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { name: 'rig', exact: true })).toBeVisible();
  await expect(page.locator('[data-open="true"]').first()).toContainText('pinion');
});

test('mates: the shopping list is taken along, with what is easily forgotten', async ({ page, bench }) => {
  await bench(portal, 'mates');
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'As a table (CSV)' }).click();
  const file = await coming;
  expect(file.suggestedFilename()).toBe('bramble-portal-to-buy.csv');
  const text = await readFile(await file.path(), 'utf8');
  expect(text).toMatch(/^to buy,needed,have,what,/);
  expect(text).toMatch(/pin-2\.5-12.*forgotten/);
});

test('steer: from lock to lock, the angles are those of the command line', async ({ page, bench, program }) => {
  await bench(portal, 'steer');
  const said = program.say<{
    locks: { left: { servo_deg: number; inner_deg: number; outer_deg: number }; right: { servo_deg: number } };
  }>('steer', '--json', `${examples}bramble-portal.rig.yaml`);
  const card = page.getByRole('region', { name: 'Lock to lock' });
  await card.getByRole('button', { name: 'Left lock' }).click();
  const slider = card.getByRole('slider');
  expect(numberIn(await card.locator('output').textContent())).toBeCloseTo(said.locks.left.servo_deg, 1);
  await expect(card.getByRole('img')).toHaveAccessibleName(
    `Steering from above: left wheel ${said.locks.left.inner_deg.toFixed(1)}°, right wheel ${said.locks.left.outer_deg.toFixed(1)}° to the left`,
  );
  await slider.focus();
  await page.keyboard.press('Home');
  expect(numberIn(await card.locator('output').textContent())).toBeCloseTo(said.locks.right.servo_deg, 1);
  await expect(card).toContainText('here by the lock stop');
});

test('drive: the pinions are sorted, and another one is fitted', async ({ page, bench, program }) => {
  await bench(portal, 'drive');
  await expect(page.getByRole('img', { name: /to scale: pinion with 14 teeth, spur with 54 teeth/ })).toBeVisible();
  const table = page.getByRole('group', { name: 'Table of pinions' });
  const speeds = async (): Promise<number[]> =>
    (await table.locator('tbody tr td:nth-child(4)').allTextContents()).map(numberIn);
  await table.getByRole('button', { name: 'Top speed' }).click();
  expect(await speeds()).toEqual((await speeds()).toSorted((a, b) => b - a));
  await table.getByRole('button', { name: 'Top speed' }).click();
  expect(await speeds()).toEqual((await speeds()).toSorted((a, b) => a - b));
  const fitted = table.locator('tr[aria-current="true"]');
  await expect(fitted).toContainText('pinion-32-14-b5');
  await table.getByRole('button', { name: 'Fit pinion-32-12-b5' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await expect(fitted).toContainText('pinion-32-12-b5');
  const answer = (await (await fetch(`${program.url}/api/rigs/${await program.id(portal)}/drive`)).json()) as {
    axles: { rear: { total_ratio: number } };
  };
  await expect(page.getByRole('row', { name: /Motor to rear wheels/ })).toContainText(
    answer.axles.rear.total_ratio.toFixed(2),
  );
});

test('travel: a point of the map puts the wheels there and names what stops them', async ({ page, bench }) => {
  await bench(portal, 'travel');
  await stageReady(page);
  const map = page.getByRole('img', { name: /Map of what the rear wheels reach/ });
  await map.scrollIntoViewIfNeeded();
  const box = await map.boundingBox();
  if (!box) throw new Error('no map');
  await page.mouse.click(box.x + box.width * 0.9, box.y + box.height * 0.1); // both far up
  const section = page.getByRole('region', { name: 'Reach of the rear wheels' });
  await expect(section.locator('.stopped')).toContainText('closed');
  await expect(page.locator('.words .label.stop')).toContainText('closed');
});

test('travel: a switch draws all gaps there are, and they follow the wheels', async ({ page, bench }) => {
  await bench(portal, 'travel');
  await stageReady(page);
  const card = page.getByRole('region', { name: 'What comes near to what' });
  await card.getByRole('checkbox', { name: /All gaps/ }).check();
  await expect(card.getByRole('status')).toContainText(/\d+ pairs? here|Nothing is as near here/);
  const before = await card.getByRole('status').textContent();
  const gap = (await card.getByRole('listitem').first().locator('b').textContent())?.trim() ?? '';
  await card
    .getByRole('button', { name: /Show the gap/ })
    .first()
    .click();
  await expect(page.locator('.words .label').filter({ hasText: gap }).first()).toBeVisible();
  await expect(card.getByRole('status')).not.toHaveText(before ?? '');
  await card.getByRole('checkbox', { name: /All gaps/ }).uncheck();
  await expect(card.getByRole('status')).toBeHidden();
});

test('travel: a clearance is shown on the stage as long as the wheels stay there', async ({ page, bench }) => {
  await bench(portal, 'travel');
  await stageReady(page);
  const card = page.getByRole('region', { name: 'What comes near to what' });
  const row = card.getByRole('listitem').first();
  const gap = (await row.locator('b').textContent())?.trim() ?? '';
  await row.getByRole('button').click();
  await expect(page.locator('.words .label').filter({ hasText: gap })).toBeVisible();
  await page.keyboard.press('Escape'); // back to ride height
  await expect(page.locator('.words .label').filter({ hasText: gap })).toBeHidden();
  await page.getByRole('button', { name: 'joints' }).click();
  await expect(
    page
      .locator('.words .label')
      .filter({ hasText: /° left$/ })
      .first(),
  ).toBeVisible();
});

test('travel: lengths for a wish, put in, give the wish back', async ({ page, bench, program }) => {
  await bench('bramble.rig.yaml', 'travel');
  await page.getByText('Link lengths for a wish').click();
  await expect(page.getByRole('heading', { name: 'One turn longer' })).toBeVisible();
  await page.getByRole('textbox', { name: /^Wheelbase, mm/ }).fill('315');
  await page.getByRole('textbox', { name: /^Pinion angle/ }).fill('8');
  await page.getByRole('button', { name: 'Work it out' }).click();
  await page.getByRole('button', { name: 'Put these lengths in' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  const answer = (await (
    await fetch(`${program.url}/api/rigs/${await program.id('bramble.rig.yaml')}/travel?axle=rear`)
  ).json()) as { axles: { rear: { design: { wheelbase_mm: number; pinion_angle_deg: number } } } };
  expect(answer.axles.rear.design.wheelbase_mm).toBeCloseTo(315, 6);
  expect(answer.axles.rear.design.pinion_angle_deg).toBeCloseTo(8, 6);
});

test('a wish that no length can meet says why', async ({ page, bench }) => {
  await bench('bramble.rig.yaml', 'travel');
  await page.getByText('Link lengths for a wish').click();
  await page.getByRole('textbox', { name: /^Pinion angle/ }).fill('85');
  await page.getByRole('button', { name: 'Work it out' }).click();
  await expect(page.getByRole('alert')).toContainText('between -80° and 80°');
});

test('a pasted table of points makes a rig; a mistake stands at its row and the table stays', async ({
  page,
  program,
}) => {
  await page.goto(program.url);
  await page.getByRole('button', { name: 'Paste a table of measured points' }).click();
  const dialog = page.getByRole('dialog');
  await dialog.getByRole('button', { name: 'Begin with the example' }).click();
  const table = dialog.getByLabel('Table, with its header row');
  const good = await table.inputValue();
  await table.fill(good.replace('rear\tlower', 'raer\tlower'));
  await dialog.getByRole('button', { name: 'Make the rig' }).click();
  await expect(dialog.getByRole('alert')).toContainText('one mistake');
  await expect(dialog.locator('tr.bad').last()).toContainText('did you mean "rear"?');
  expect((await new AxeBuilder({ page }).analyze()).violations.map((v) => v.id)).toEqual([]);
  await dialog.getByRole('button', { name: 'row 3' }).click();
  await expect(table).toBeFocused();
  await table.fill(good);
  await dialog.getByRole('button', { name: 'Make the rig' }).click();
  await expect(page.getByRole('heading', { name: 'travel', exact: true })).toBeVisible();
  expect((await program.rigs()).map((r) => r.file)).toContain('measured.rig.yaml');
});

test('an empty rig says on each page what to do next', async ({ page, program }) => {
  const made = (await (
    await fetch(`${program.url}/api/rigs`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ file: 'bare.rig.yaml', text: 'lowslung: 1\nname: Bare\n' }),
    })
  ).json()) as { id: string };
  for (const [word, title] of [
    ['mates', 'No joints yet'],
    ['steer', 'No steering yet'],
    ['drive', 'No drive line yet'],
  ]) {
    await page.goto(`${program.url}/#/rig/${made.id}/${word}`);
    await expect(page.getByRole('heading', { name: title })).toBeVisible();
  }
});

/** Opens everything that is folded away, so that axe sees it. */
const unfold = (page: Page): Promise<void> =>
  page.evaluate(() => document.querySelectorAll('details').forEach((d) => (d.open = true)));

for (const look of ['light', 'dark'] as const) {
  for (const width of [1440, 390]) {
    test(`axe finds nothing on mates, steer, drive, travel: ${look}, ${width} px`, async ({ page, program }) => {
      test.setTimeout(120_000);
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: look, reducedMotion: 'reduce' });
      const id = await program.id(portal);
      for (const word of ['mates', 'steer', 'drive', 'travel']) {
        await page.goto('about:blank');
        await page.goto(`${program.url}/#/rig/${id}/${word}`);
        await expect(page.getByRole('heading', { name: word, exact: true })).toBeVisible();
        await stageReady(page);
        await unfold(page);
        const found = await new AxeBuilder({ page }).analyze();
        expect(
          found.violations.map((v) => `${word}: ${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`),
        ).toEqual([]);
        const over = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        expect(over, `${word} is wider than the window`).toBeLessThanOrEqual(0);
      }
    });
  }
}
