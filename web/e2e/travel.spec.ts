import { expect, numberIn, stageReady, test, examples } from './program';
import type { Program } from './program';

interface Answer {
  axles: {
    rear: {
      poses: {
        pinion_angle_deg: number;
        wheelbase_mm: number;
        heave_mm: number;
        left_wheel_z_mm: number;
        right_wheel_z_mm: number;
      }[];
    };
  };
}

/** What the command line says of a rear axle at one heave and roll. */
function said(program: Program, heave: number, roll: number) {
  const answer = program.say<Answer>(
    'travel',
    `${examples}bramble.rig.yaml`,
    '--axle',
    'rear',
    '--heave',
    `${heave}:${heave}:1`,
    '--roll',
    `${roll}:${roll}:1`,
    '--json',
  );
  const pose = answer.axles.rear.poses[0];
  if (!pose) throw new Error(`the command line does not reach heave ${heave}, roll ${roll}`);
  return pose;
}

test('a wheel pulled by keys shows the numbers that the command line says for that pose', async ({
  page,
  program,
  bench,
}) => {
  await bench('bramble.rig.yaml');
  await page.getByRole('button', { name: 'Both wheels of an axle' }).click();
  const slider = page.getByRole('slider', { name: 'Pull the rear left wheel' });
  await slider.focus();
  for (let i = 0; i < 10; i++) await page.keyboard.press('ArrowRight');
  await expect(page.locator('output[data-wheel="rear left"]')).toHaveText('10.0\u00a0mm');
  await expect(page.locator('output[data-wheel="rear right"]')).toHaveText('10.0\u00a0mm');

  const wanted = said(program, 10, 0);
  await expect(page.locator('[data-now="rear pinion angle"]')).toHaveText(`${wanted.pinion_angle_deg.toFixed(1)}°`);
  await expect(page.locator('[data-now="rear wheelbase"]')).toHaveText(`${wanted.wheelbase_mm.toFixed(1)}\u00a0mm`);

  await page.keyboard.press('Escape');
  const rest = said(program, 0, 0);
  await expect(page.locator('[data-now="rear pinion angle"]')).toHaveText(`${rest.pinion_angle_deg.toFixed(1)}°`);
});

test('one wheel alone: the pose is the one the command line finds at that heave and roll', async ({
  page,
  program,
  bench,
}) => {
  await bench('bramble.rig.yaml');
  const slider = page.getByRole('slider', { name: 'Pull the rear left wheel' });
  await slider.focus();
  for (let i = 0; i < 12; i++) await page.keyboard.press('ArrowRight');
  await expect(page.locator('output[data-wheel="rear left"]')).toHaveText('12.0\u00a0mm');
  await expect(page.locator('output[data-wheel="rear right"]')).toHaveText('0.0\u00a0mm');
  // Wheel centres 101 mm from the middle, one 12 mm up from where it stands: heave 6 mm, and a roll, counted from the little that the rig leans at rest, with
  // 202·(sin of it − sin at rest) = 12. Axle-frame geometry, by hand.
  const rest = said(program, 0, 0);
  const leans = (rest.left_wheel_z_mm - rest.right_wheel_z_mm) / 202;
  const roll = ((Math.asin(12 / 202 + leans) - Math.asin(leans)) * 180) / Math.PI;
  const wanted = said(program, 6, roll);
  expect(wanted.left_wheel_z_mm - rest.left_wheel_z_mm).toBeCloseTo(12, 3);
  expect(wanted.right_wheel_z_mm - rest.right_wheel_z_mm).toBeCloseTo(0, 3);
  await expect(page.locator('[data-now="rear pinion angle"]')).toHaveText(`${wanted.pinion_angle_deg.toFixed(1)}°`);
  await expect(page.locator('[data-now="rear wheelbase"]')).toHaveText(`${wanted.wheelbase_mm.toFixed(1)}\u00a0mm`);
});

test('a wheel dragged on the stage follows the hand, and the stage says what stops it', async ({ page, bench }) => {
  await bench('bramble.rig.yaml');
  await stageReady(page);
  await page.getByRole('button', { name: 'side', exact: true }).click();
  await page.waitForTimeout(900); // the camera is on its way
  const canvas = page.locator('canvas').first();
  const box = await canvas.boundingBox();
  if (!box) throw new Error('no stage');
  // In side view the nose is to the right. Find the near front tyre by what the stage says is under the pointer.
  let found: { x: number; y: number } | null = null;
  for (let x = 0.66; x < 0.95 && !found; x += 0.03) {
    const at = { x: box.x + box.width * x, y: box.y + box.height * 0.62 };
    await page.mouse.move(at.x, at.y);
    await page.waitForTimeout(60);
    if (
      /^right front tyre/.test(
        (await page
          .locator('.under')
          .textContent({ timeout: 500 })
          .catch(() => '')) ?? '',
      )
    )
      found = at;
  }
  if (!found) throw new Error('no wheel under the pointer');
  await page.mouse.down();
  await page.mouse.move(found.x, found.y - 15, { steps: 5 });
  const right = page.locator('output[data-wheel="front right"]');
  await expect.poll(async () => numberIn(await right.textContent())).toBeGreaterThan(2);
  await page.mouse.move(found.x, found.y - 190, { steps: 10 });
  await expect(page.getByRole('status').filter({ hasText: /shock/ })).toBeVisible();
  await expect(page.locator('.label.stop')).toContainText('shock');
  await page.mouse.up();
  // What is shown is where it stands, not where the hand was.
  const stood = numberIn(await right.textContent());
  await expect(page.getByRole('slider', { name: 'Pull the front right wheel' })).not.toHaveValue(stood.toFixed(0));
  await page.getByRole('button', { name: /Back to ride height/ }).click();
  await expect(right).toHaveText('0.0\u00a0mm');
});

test('moving over a plot puts the rig in that pose, and leaving puts it back', async ({ page, bench }) => {
  await bench('bramble.rig.yaml');
  const plot = page.locator('figure', { hasText: 'Pinion angle over heave' }).locator('.u-over');
  await plot.scrollIntoViewIfNeeded();
  const box = await plot.boundingBox();
  if (!box) throw new Error('no plot');
  await page.mouse.move(box.x + box.width * 0.7, box.y + box.height / 2);
  const left = page.locator('output[data-wheel="rear left"]');
  await expect(left).toHaveText('10.0\u00a0mm');
  await expect(page.locator('output[data-wheel="front right"]')).toHaveText('10.0\u00a0mm');
  await page.mouse.move(box.x - 60, box.y - 60);
  await expect(left).toHaveText('0.0\u00a0mm');
});

test('units: every number and sentence follows', async ({ page, bench }) => {
  await bench('bramble.rig.yaml');
  await page.getByRole('button', { name: 'in oz' }).click();
  await expect(page.locator('[data-now="rear wheelbase"]')).toContainText('in');
  await expect(page.locator('#answer')).toContainText(/Wheelbase is 12\.\d+ in/);
  await expect(page.locator('output[data-wheel="rear left"]')).toHaveText('0.000\u00a0in');
});
