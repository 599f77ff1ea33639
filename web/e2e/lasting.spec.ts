import { expect, test } from './program';

test('killed and started again: what was saved is there, what was typed is there', async ({ page, program, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  await page.getByRole('button', { name: /^belly / }).click();
  await page.getByRole('textbox', { name: 'Weight of one' }).fill('71 g');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();

  await program.kill();
  await expect(page.getByText('The program does not answer.').first()).toBeVisible();
  await page.getByRole('textbox', { name: 'Weight of one' }).fill('72 g');
  await page.keyboard.press('Enter');
  await expect(page.getByText(/does not answer.*kept in this page/)).toBeVisible();
  await expect(page.getByRole('textbox', { name: 'Weight of one' })).toHaveValue('72 g');

  await program.start();
  await expect(page.locator('.banner')).toBeHidden({ timeout: 15_000 });
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();

  await program.kill();
  await program.start();
  await page.reload();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();
  await page.getByRole('button', { name: /^belly / }).click();
  await expect(page.getByRole('textbox', { name: 'Weight of one' })).toHaveValue('72 g');
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(page.getByRole('textbox', { name: 'Weight of one' })).toHaveValue('71 g');
});

test('two windows: the one without a draft follows quietly', async ({ page, context, program, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  const second = await context.newPage();
  await second.goto(page.url());
  await second.getByRole('button', { name: /^belly / }).click();
  await second.getByRole('textbox', { name: 'Weight of one' }).fill('99');
  await second.keyboard.press('Enter');
  await expect(second.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await page.getByRole('button', { name: /^belly / }).click();
  await expect(page.getByRole('textbox', { name: 'Weight of one' })).toHaveValue('99 g');
  expect((await program.rigs()).find((r) => r.file === 'bramble.rig.yaml')?.revision).toBe(2);
});

test('two windows in conflict: nothing is lost, and the person chooses', async ({ page, context, program, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  await page.getByRole('button', { name: 'Text', exact: true }).click();
  const area = page.getByRole('textbox', { name: 'bramble.rig.yaml' });
  const mine = (await area.inputValue()).replace('name: Bramble, as bought', 'name: Mine');
  await area.fill(mine);

  const second = await context.newPage();
  await second.goto(page.url());
  // The draft is this browser's, so the second window shows it too; it goes back to what is saved and changes a weight.
  await second.getByRole('button', { name: 'Put back what is saved' }).click();
  await second.getByRole('button', { name: 'Parts' }).click();
  await second.getByRole('button', { name: /^belly / }).click();
  await second.getByRole('textbox', { name: 'Weight of one' }).fill('88');
  await second.keyboard.press('Enter');
  await expect(second.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();

  const dialog = page.getByRole('dialog', { name: 'Saved in another window too' });
  await expect(dialog).toBeVisible();
  await dialog.getByRole('button', { name: 'See both' }).click();
  await expect(dialog.getByRole('cell', { name: 'mass: 88 g' })).toBeVisible();
  await expect(dialog.getByRole('cell', { name: 'name: Mine' })).toBeVisible();
  await dialog.getByRole('button', { name: 'Keep mine as unsaved text' }).click();
  await expect(area).toHaveValue(mine);
  await area.press('Control+s');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();
  const answer = (await (await fetch(`${program.url}/api/rigs/${await program.id('bramble.rig.yaml')}`)).json()) as {
    text: string;
  };
  expect(answer.text).toBe(mine);
  // Theirs is in the history.
  const theirs = (await (
    await fetch(`${program.url}/api/rigs/${await program.id('bramble.rig.yaml')}/revisions/2`)
  ).json()) as { text: string };
  expect(theirs.text).toContain('mass: 88 g');
});

test('a change in place that comes second can be made on top', async ({ page, program, bench }) => {
  await bench('bramble.rig.yaml', 'rig');
  await page.getByRole('button', { name: /^belly / }).click();
  // Saved behind the page's back: the answer of its listening is held back, as a slow network would.
  await page.route('**/api/events', (route) => route.abort());
  const id = await program.id('bramble.rig.yaml');
  const now = (await (await fetch(`${program.url}/api/rigs/${id}`)).json()) as { revision: number; hash: string };
  await page.evaluate(
    async ([id, tag]) => {
      await fetch(`/api/rigs/${id}/edit`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json', 'If-Match': tag ?? '' },
        body: JSON.stringify({
          changes: [{ path: ['chassis', 'parts', 'belly', 'mass'], value: '70 g' }],
          why: 'elsewhere',
        }),
      });
    },
    [id, `"${now.revision}-${now.hash.slice(0, 8)}"`],
  );
  await page.getByRole('textbox', { name: 'Weight of one' }).fill('90 g');
  await page.keyboard.press('Enter');
  const dialog = page.getByRole('dialog', { name: 'Saved in another window too' });
  // Either the save met the other one, or the page had heard of it first and saved on top of it: both lose nothing.
  await expect(dialog.or(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ }))).toBeVisible();
  if (await dialog.isVisible()) await dialog.getByRole('button', { name: 'Make my change there too' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();
});
