import AxeBuilder from '@axe-core/playwright';
import { expect, stageReady, test } from './program';

const places = [
  { name: 'list of rigs', hash: '#/' },
  { name: 'guided start', hash: '#/begin' },
  { name: 'rig', hash: '#/rig/ID/rig' },
  { name: 'travel', hash: '#/rig/ID/travel?with=OTHER' },
  { name: 'balance', hash: '#/rig/ID/balance' },
  { name: 'search', hash: '#/rig/ID/search' },
  { name: 'compare', hash: '#/rig/ID/compare?with=OTHER' },
  { name: 'compare with nothing', hash: '#/rig/ID/compare' },
];

for (const look of ['light', 'dark'] as const) {
  for (const width of [1440, 390]) {
    test(`axe finds nothing: every page, ${look}, ${width} px`, async ({ page, program }) => {
      test.setTimeout(180_000);
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: look, reducedMotion: 'reduce' });
      const id = await program.id('bramble.rig.yaml');
      const other = await program.id('bramble-portal.rig.yaml');
      for (const { name, hash } of places) {
        await page.goto('about:blank');
        await page.goto(`${program.url}/${hash.replace('ID', id).replace('OTHER', other)}`);
        await expect(page.locator('h1').first()).toBeVisible();
        if (hash.includes('/rig/')) await stageReady(page);
        if (name === 'rig') {
          await page.getByRole('button', { name: /^rear upper / }).click();
          await page.getByRole('button', { name: /^belly / }).click();
        }
        const found = await new AxeBuilder({ page }).analyze();
        expect(
          found.violations.map((v) => `${name}: ${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`),
        ).toEqual([]);
        // Nothing hangs over the side.
        const over = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        expect(over, `${name} is wider than the window`).toBeLessThanOrEqual(0);
      }
      await page.goto(`${program.url}/#/rig/${id}/rig`);
      await page.getByRole('button', { name: 'Text', exact: true }).click();
      expect((await new AxeBuilder({ page }).analyze()).violations.map((v) => `text: ${v.id}`)).toEqual([]);
      await page.getByRole('button', { name: 'History' }).click();
      await expect(page.getByRole('dialog')).toBeVisible();
      expect((await new AxeBuilder({ page }).analyze()).violations.map((v) => `history: ${v.id}`)).toEqual([]);
    });
  }
}

test('by keyboard alone: open a rig, turn the stage, pull a wheel, change a weight, undo', async ({
  page,
  program,
}) => {
  await page.goto(program.url);
  await expect(page.getByRole('link', { name: /Bramble, as bought/ })).toBeVisible();
  const tabTo = async (name: RegExp, most = 60): Promise<void> => {
    for (let i = 0; i < most; i++) {
      await page.keyboard.press('Tab');
      const said = await page.evaluate(() => {
        const e = document.activeElement as HTMLElement | null;
        return e
          ? `${e.getAttribute('aria-label') ?? ''}|${e.textContent?.trim() ?? ''}|${(e as HTMLInputElement).labels?.[0]?.textContent?.trim() ?? ''}`
          : '';
      });
      if (name.test(said)) return;
    }
    throw new Error(`the Tab key does not reach ${name}`);
  };
  await tabTo(/Bramble, as bought/);
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { name: 'travel', exact: true })).toBeVisible();
  await stageReady(page);
  await page.keyboard.press('Tab');
  await tabTo(/The rig in three dimensions/);
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('+');
  await tabTo(/Pull the rear left wheel/);
  for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowRight');
  await expect(page.locator('output[data-wheel="rear left"]')).toHaveText('5.0\u00a0mm');
  await page.keyboard.press('Escape');
  await expect(page.locator('output[data-wheel="rear left"]')).toHaveText('0.0\u00a0mm');
  await page.evaluate(() => document.body.focus());
  await page.getByRole('link', { name: /^rig/ }).focus();
  await page.keyboard.press('Enter');
  await tabTo(/^\|?belly/, 120);
  await page.keyboard.press('Enter');
  await tabTo(/Weight of one/);
  await page.keyboard.press('Control+a');
  await page.keyboard.type('58');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await page.getByRole('link', { name: /^balance/ }).focus();
  await page.keyboard.press('Control+z');
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();
});

test('the skip link goes to the answer', async ({ page, bench }) => {
  await bench('bramble.rig.yaml');
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  await page.keyboard.press('Tab');
  await expect(page.getByRole('link', { name: 'Skip to the answer' })).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(page.locator('#answer')).toBeFocused();
});

test.describe('on a phone', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });

  test('questions in a row, stage above, answer below; a wheel is pulled by finger', async ({ page, bench }) => {
    await bench('bramble.rig.yaml');
    await stageReady(page);
    const nav = await page.getByRole('navigation').boundingBox();
    const stage = await page.locator('.picture').boundingBox();
    const answer = await page.locator('#answer').boundingBox();
    if (!nav || !stage || !answer) throw new Error('something is missing');
    expect(nav.height).toBeLessThan(70);
    expect(stage.y).toBeGreaterThan(nav.y);
    expect(answer.y).toBeGreaterThan(stage.y + stage.height - 1);
    await page.getByRole('slider', { name: 'Pull the front left wheel' }).fill('8');
    await expect(page.locator('output[data-wheel="front left"]')).toHaveText('8.0\u00a0mm');
    // By finger on the stage: the nearest wheel stands low in the middle of the free view.
    const touch = await page.context().newCDPSession(page);
    const wheel = { x: stage.x + stage.width * 0.6, y: stage.y + stage.height * 0.66 };
    const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', y: number): Promise<unknown> =>
      touch.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x: wheel.x, y }] });
    const before = await page.locator('output[data-wheel="front right"]').textContent();
    await send('touchStart', wheel.y);
    for (let i = 1; i <= 6; i++) await send('touchMove', wheel.y - 3 * i);
    await send('touchEnd', wheel.y - 18);
    await expect(page.locator('output[data-wheel="front right"]')).not.toHaveText(before ?? '');
  });
});
