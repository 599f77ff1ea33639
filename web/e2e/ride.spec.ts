import AxeBuilder from '@axe-core/playwright';
import type { Locator, Page } from '@playwright/test';
import { examples, expect, numberIn, stageReady, test, type Program } from './program';

const bought = 'bramble.rig.yaml';
const portal = 'bramble-portal.rig.yaml';

interface Loads {
  front_left: number;
  front_right: number;
  rear_left: number;
  rear_right: number;
}
interface Said {
  stance: {
    belly_clearance_mm: number;
    corner_loads_n: Loads;
    axles: Record<'front' | 'rear', { wheel_rate_n_per_mm: number; frequency_hz: number }>;
    shocks: { name: string; side: string; sag_mm: number; sag_share: number }[];
  };
  tilt: Record<
    'left_down' | 'nose_up',
    { tip_deg: number; rigid_deg: number; first_light: string; sweep: { angle_deg: number; loads_n: Loads }[] }
  >;
  ramp: { index: number; height_mm: number; sweep: { by_mm: number; loads_n: Loads }[] };
  torque: {
    sweep: { slope_deg: number; shifted_n: number }[];
    remedies: { change: string; roll_deg: number }[];
  };
}

/** What the command line says, with the steps that the page asks for. */
const said = (program: Program, file = bought, ...more: string[]): Said =>
  program.say<Said>('ride', '--json', '--step', '1', '--poses', ...more, examples + file);

const grounds = (page: Page): Locator => page.getByRole('region', { name: 'Stand it on a board, a ramp, blocks' });
const slider = (page: Page): Locator => grounds(page).getByRole('slider');
const onStage = (page: Page): Locator => page.locator('.words .label');

test('stance: the page says what the command line says, in both unit systems', async ({ page, program, bench }) => {
  await bench(bought, 'ride');
  const s = said(program).stance;
  const card = page.getByRole('region', { name: 'As it stands, level' });
  await expect(card.locator('[data-number="belly"]')).toHaveText(`${s.belly_clearance_mm.toFixed(1)}\u00a0mm`);
  for (const k of s.shocks) {
    await expect(card.getByRole('row', { name: new RegExp(`^${k.name} ${k.side}`) })).toContainText(
      `${k.sag_mm.toFixed(1)}\u00a0mm, ${(k.sag_share * 100).toFixed(0)}\u00a0%`,
    );
  }
  await expect(card.getByRole('row', { name: /^Wheel rate/ })).toContainText(
    `${s.axles.front.wheel_rate_n_per_mm.toFixed(3)}\u00a0N/mm`,
  );
  await expect(card.getByRole('row', { name: /^Bounce/ })).toContainText(
    `${s.axles.rear.frequency_hz.toFixed(2)}\u00a0Hz`,
  );
  await page.getByRole('button', { name: 'in oz' }).click();
  // 25.4 mm an inch, 1 lbf/in = 0.1751268 N/mm (NIST SP 811).
  await expect(card.locator('[data-number="belly"]')).toHaveText(`${(s.belly_clearance_mm / 25.4).toFixed(3)}\u00a0in`);
  await expect(card.getByRole('row', { name: /^Wheel rate/ })).toContainText(
    `${(s.axles.front.wheel_rate_n_per_mm / 0.1751268).toFixed(2)}\u00a0lbf/in`,
  );
});

test('stance: loads on the tyres and sags at the shocks of the stage, until a wheel is pulled', async ({
  page,
  program,
  bench,
}) => {
  await bench(bought, 'ride');
  await stageReady(page);
  const s = said(program).stance;
  for (const load of Object.values(s.corner_loads_n))
    await expect(
      onStage(page)
        .filter({ hasText: `${load.toFixed(2)}\u00a0N` })
        .first(),
    ).toBeVisible();
  for (const k of s.shocks)
    await expect(
      onStage(page)
        .filter({ hasText: `sag ${k.sag_mm.toFixed(1)}\u00a0mm` })
        .first(),
    ).toBeVisible();
  await expect(onStage(page).filter({ hasText: 'sag' })).toHaveCount(s.shocks.length);
  const stance = page.getByRole('button', { name: 'stance', exact: true });
  await expect(stance).toHaveAttribute('aria-pressed', 'true');
  await page.getByRole('slider', { name: 'Pull the front left wheel' }).fill('6');
  await expect(stance).toHaveAttribute('aria-pressed', 'false');
  await expect(onStage(page).filter({ hasText: 'sag' })).toHaveCount(0);
  // On every page the layer is there; and with ride's page it goes.
  await stance.click();
  await expect(onStage(page).filter({ hasText: 'sag' })).toHaveCount(s.shocks.length);
  await page.getByRole('link', { name: /^balance/ }).click();
  await expect(stance).toHaveAttribute('aria-pressed', 'false');
  await stance.click();
  await expect(page.getByText('On its springs: level ground')).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(page.getByText('On its springs: level ground')).toBeHidden();
});

test('tilt board: the slider steps through the rests, says what is light, and asks for nothing', async ({
  page,
  program,
  bench,
}) => {
  await bench(bought, 'ride');
  await stageReady(page);
  const t = said(program).tilt.left_down;
  const card = grounds(page);
  await card.getByRole('button', { name: 'left down' }).click();
  await expect(card.locator('[data-result]')).toContainText(`it tips at ${t.tip_deg.toFixed(1)}°`);
  await expect(card.locator('[data-result]')).toContainText(`it would at ${t.rigid_deg.toFixed(1)}°`);
  let asked = 0;
  page.on('request', (r) => {
    if (r.url().includes('/api/rigs/')) asked++;
  });
  await slider(page).focus();
  for (let i = 0; i < 7; i++) await page.keyboard.press('ArrowRight');
  await expect(card.locator('output')).toHaveText('7.0°');
  const at = t.sweep[7]?.loads_n;
  if (!at) throw new Error('no row at 7°');
  await expect(card.getByRole('img', { name: /^Load on each tyre/ })).toHaveAccessibleName(
    new RegExp(`front left ${at.front_left.toFixed(2)}\u00a0N, front right ${at.front_right.toFixed(2)}\u00a0N`),
  );
  await expect(
    onStage(page)
      .filter({ hasText: `${at.rear_right.toFixed(2)}\u00a0N` })
      .first(),
  ).toBeVisible();
  await expect(page.getByText('On its springs: left down, 7.0°')).toBeVisible();
  await page.keyboard.press('End');
  await expect(card.locator('output')).toHaveText(`${t.tip_deg.toFixed(1)}°`);
  await expect(card.locator('[data-words]')).toContainText(`he ${t.first_light} wheel carries nothing`);
  await expect(slider(page)).toHaveAttribute(
    'aria-valuetext',
    new RegExp(`the ${t.first_light} wheel carries nothing`),
  );
  await expect(onStage(page).filter({ hasText: 'carries nothing' }).first()).toBeVisible();
  expect(asked, 'requests while the slider moved').toBe(0);
  await card.getByRole('button', { name: 'Back to level ground' }).click();
  await expect(page.getByText('On its springs: level ground')).toBeVisible();
});

test('the load curves and the slider are one: over the plot the stage follows, off it all goes back', async ({
  page,
  bench,
}) => {
  await bench(bought, 'ride');
  await stageReady(page);
  await grounds(page).getByRole('button', { name: 'nose up' }).click();
  await slider(page).fill('10');
  const plot = grounds(page).locator('.u-over');
  await plot.scrollIntoViewIfNeeded();
  await expect(plot.locator('.marker')).toBeVisible();
  const mark = await plot.locator('.marker').boundingBox();
  const box = await plot.boundingBox();
  if (!box || !mark) throw new Error('no plot');
  expect((mark.x - box.x) / box.width).toBeGreaterThan(0.1);
  await page.mouse.move(box.x + box.width * 0.6, box.y + box.height / 2);
  await expect.poll(async () => numberIn(await grounds(page).locator('output').textContent())).toBeGreaterThan(25);
  await page.mouse.move(box.x - 80, box.y - 80);
  await expect(grounds(page).locator('output')).toHaveText('10.0°');
  await page.mouse.click(box.x + box.width * 0.6, box.y + box.height / 2);
  await page.mouse.move(box.x - 80, box.y - 80);
  expect(numberIn(await grounds(page).locator('output').textContent())).toBeGreaterThan(25);
});

test('ramp, blocks and drive: results of the command line; another slope; a wrong one is told', async ({
  page,
  program,
  bench,
}) => {
  await bench(bought, 'ride');
  const card = grounds(page);
  await card.getByRole('button', { name: 'ramp left' }).click();
  const result = card.locator('[data-result]');
  const r = said(program).ramp;
  await expect(result).toContainText(`Ramp travel index ${r.index.toFixed(0)}`);
  await expect(result).toContainText(`${r.height_mm.toFixed(1)}\u00a0mm above the ground`);
  await card.getByRole('button', { name: 'The end' }).click();
  await expect(card.locator('[data-words]')).toContainText('carries nothing');
  const slope = card.getByRole('textbox', { name: 'Slope of the ramp' });
  await slope.fill('80');
  await card.getByRole('button', { name: 'Set' }).click();
  await expect(card.getByRole('alert')).toContainText('found 80');
  await expect(card.getByRole('alert')).toContainText('expected 5° to 45°');
  await expect(result).toContainText(`Ramp travel index ${r.index.toFixed(0)}`);
  await slope.fill('30');
  await page.keyboard.press('Enter');
  await expect(result).toContainText(
    `Ramp travel index ${said(program, bought, '--ramp', '30').ramp.index.toFixed(0)}`,
  );
  await expect(card.getByRole('alert')).toBeHidden();

  await card.getByRole('button', { name: 'ramp right' }).click();
  await expect(result).toContainText(/the right front wheel goes/);
  await expect(page.getByText(/On its springs: right front wheel up a ramp/)).toBeVisible();
  await card.getByRole('button', { name: 'blocks left' }).click();
  await expect(result).toContainText('twisted');
  await card.getByRole('button', { name: 'held by drive' }).click();
  const last = said(program).torque.sweep.at(-1);
  if (!last) throw new Error('no slope held');
  await expect(result).toContainText(
    `${Math.abs(last.shifted_n).toFixed(2)}\u00a0N onto the ${last.shifted_n < 0 ? 'right' : 'left'} wheels`,
  );
  const bar = said(program).torque.remedies[0];
  if (!bar) throw new Error('nothing tried');
  const row = page.locator('[data-remedies] tbody tr').nth(1);
  await expect(row).toContainText(bar.change);
  await expect(row).toContainText(`${bar.roll_deg.toFixed(1)}°`.replace('-', '−'));
});

test('a wish is worked out, put into the document, and comes true', async ({ page, bench }) => {
  await bench(bought, 'ride');
  const card = page.getByRole('region', { name: 'Collar or spring for a wish' });
  await card.getByRole('button', { name: 'Work it out' }).click();
  await expect(card.getByRole('alert')).toContainText('Found nothing, expected a height');
  await card.getByRole('textbox').fill('2 kg');
  await page.keyboard.press('Enter');
  await expect(card.getByRole('alert')).toContainText('found "2 kg", which is a mass, expected a length');
  await card.getByRole('textbox').fill('64.5');
  await page.keyboard.press('Enter');
  await card.getByRole('button', { name: 'Put these collars in' }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  const row = page.getByRole('row', { name: /^Ride height at the axle/ });
  // To a tenth: the collars are written to a hundredth of a millimetre.
  await expect(row).toContainText(/64\.5\u00a0mm\s*64\.5\u00a0mm/);

  await card.getByRole('button', { name: 'sag' }).click();
  await card.getByRole('textbox').fill('35');
  await page.keyboard.press('Enter');
  await card
    .getByRole('button', { name: /^Fit spring-/ })
    .first()
    .click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 3/ })).toBeVisible();
  await expect(card.getByRole('status')).toContainText('Put in: front springs spring-');
});

test('a save leaves the rig where it stands', async ({ page, bench }) => {
  await bench(bought, 'ride');
  await stageReady(page);
  await grounds(page).getByRole('button', { name: 'left down' }).click();
  await slider(page).fill('12');
  const card = page.getByRole('region', { name: 'Dampers (estimates)' });
  await card.getByRole('textbox').fill('0.7');
  await page.keyboard.press('Enter');
  await card.getByRole('button', { name: /cSt in front$/ }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  await expect(card.getByText(/^Now 0\.(69|70|71) in front/)).toBeVisible();
  await expect(grounds(page).locator('output')).toHaveText('12.0°');
  await expect(page.getByText('On its springs: left down, 12.0°')).toBeVisible();
});

test('oil for a damping ratio, put into the document', async ({ page, bench }) => {
  await bench(bought, 'ride');
  const card = page.getByRole('region', { name: 'Dampers (estimates)' });
  await card.getByRole('textbox').fill('x');
  await page.keyboard.press('Enter');
  await expect(card.getByRole('alert')).toContainText('found "x"');
  await card.getByRole('textbox').fill('0.7');
  await page.keyboard.press('Enter');
  await card.getByRole('button', { name: /cSt in front$/ }).click();
  await expect(page.getByRole('status').filter({ hasText: /^Saved, revision 2/ })).toBeVisible();
  // To a hundredth: oils are written to a whole cSt.
  await expect(card.getByText(/^Now 0\.(69|70|71) in front/)).toBeVisible();
});

test('two builds over one another: curves, numbers, and the other one as an outline', async ({
  page,
  bench,
  program,
}) => {
  await bench(portal, 'ride', bought);
  await stageReady(page);
  const card = page.getByRole('region', { name: /^Held against Bramble, as bought/ });
  const [mine, other] = [said(program, portal), said(program)];
  await expect(card.getByRole('row', { name: /^Tips, left down/ })).toContainText(
    `${other.tilt.left_down.tip_deg.toFixed(1)}°`,
  );
  await expect(card.getByRole('row', { name: /^Ramp travel index/ })).toContainText(mine.ramp.index.toFixed(0));
  await expect(grounds(page).getByText(/Thin: the same for Bramble, as bought/)).toBeVisible();
  await expect(page.getByRole('button', { name: 'other build' })).toBeVisible();
  await slider(page).fill('20');
  await page.getByLabel('Compared with').selectOption({ label: 'nothing' });
  await expect(card).toBeHidden();
  await expect(grounds(page).getByText(/Thin: the same/)).toBeHidden();
});

test('without springs the page says which keys to write', async ({ page, program }) => {
  const text = `lowslung: 1
base: bramble.rig.yaml
name: On sticks
shocks: {front: {springs: []}, rear: {springs: []}}
`;
  const made = (await (
    await fetch(`${program.url}/api/rigs`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ file: 'sticks.rig.yaml', text }),
    })
  ).json()) as { id: string };
  await page.goto(`${program.url}/#/rig/${made.id}/ride`);
  await expect(page.getByRole('heading', { name: 'It does not stand yet' })).toBeVisible();
  await expect(page.locator('#answer')).toContainText('springs with their rate');
  await stageReady(page);
  await expect(page.getByText('It does not stand on its springs: see ride')).toBeVisible();
});

for (const look of ['light', 'dark'] as const) {
  for (const width of [1440, 390]) {
    test(`axe finds nothing on ride, ${look}, ${width} px`, async ({ page, program }) => {
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: look, reducedMotion: 'reduce' });
      const [id, other] = [await program.id(portal), await program.id(bought)];
      await page.goto(`${program.url}/#/rig/${id}/ride?with=${other}`);
      await stageReady(page);
      await expect(page.getByRole('region', { name: /^Held against/ })).toBeVisible();
      for (const g of ['right down', 'ramp right'] as const) {
        await grounds(page).getByRole('button', { name: g }).click();
        await slider(page).press('End');
        await grounds(page).getByText('The numbers behind it').click();
        const found = await new AxeBuilder({ page }).analyze();
        expect(
          found.violations.map((v) => `${g}: ${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`),
        ).toEqual([]);
      }
      const over = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(over, 'wider than the window').toBeLessThanOrEqual(0);
    });
  }
}

test.describe('on a phone', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });

  test('the stage stays in sight while the slider moves it', async ({ page, bench }) => {
    await bench(bought, 'ride');
    await stageReady(page);
    await grounds(page).getByRole('button', { name: 'nose down' }).tap();
    await slider(page).scrollIntoViewIfNeeded();
    await slider(page).fill('20');
    const stage = await page.locator('.picture').boundingBox();
    const at = await slider(page).boundingBox();
    if (!stage || !at) throw new Error('something is missing');
    expect(stage.y).toBeGreaterThan(-1);
    expect(at.y).toBeGreaterThan(stage.y + stage.height - 1);
    expect(at.y).toBeLessThan(844);
    await expect(page.getByText('On its springs: nose down, 20.0°')).toBeVisible();
  });
});

test('printed, the numbers stay and the handles go', async ({ page, bench }) => {
  await bench(bought, 'ride');
  await expect(grounds(page).locator('.u-over')).toBeAttached();
  await page.emulateMedia({ media: 'print' });
  await expect(slider(page)).toBeHidden();
  await expect(page.getByRole('button', { name: 'Work it out' }).first()).toBeHidden();
  await expect(page.getByRole('region', { name: 'As it stands, level' })).toBeVisible();
  await expect(page.getByRole('rowheader', { name: 'front left' }).first()).toContainText('front left');
});

test('steer: the wheels of the stage turn with the slider', async ({ page, bench }) => {
  await bench(bought, 'steer');
  await stageReady(page);
  await page.getByRole('button', { name: 'top', exact: true }).click();
  await page.waitForTimeout(900); // the camera is on its way
  const straight = await page.locator('canvas').first().screenshot();
  await page.getByRole('region', { name: 'Lock to lock' }).getByRole('button', { name: 'Left lock' }).click();
  await page.waitForTimeout(900);
  expect((await page.locator('canvas').first().screenshot()).equals(straight)).toBe(false);
  await page.getByRole('region', { name: 'Lock to lock' }).getByRole('button', { name: 'Middle' }).click();
});
