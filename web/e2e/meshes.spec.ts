import { expect, test } from './program';

/** A tetrahedron as an STL of text: closed, 10 mm along each axis. */
function stl(): string {
  const p = ['0 0 0', '10 0 0', '0 10 0', '0 0 10'];
  const faces = [
    [0, 2, 1],
    [0, 1, 3],
    [0, 3, 2],
    [1, 2, 3],
  ];
  const facet = (f: number[]): string =>
    `facet normal 0 0 0\nouter loop\n${f.map((i) => `vertex ${p[i] ?? ''}`).join('\n')}\nendloop\nendfacet`;
  return `solid own\n${faces.map(facet).join('\n')}\nendsolid own\n`;
}

test('a mesh is brought in, read by a rig, and taken out when none names it', async ({ page, program }) => {
  await page.goto(program.url);
  const card = page.getByRole('region', { name: 'Meshes' });
  const field = card.getByLabel('Mesh files');
  await field.setInputFiles({ name: 'own.stl', mimeType: 'model/stl', buffer: Buffer.from(stl()) });
  await expect(card.getByText('own.stl: added.')).toBeVisible();
  await expect(card.getByText('no document names it yet')).toBeVisible();

  // What is no mesh is refused in words, and nothing changes.
  await field.setInputFiles({ name: 'own.stl', mimeType: 'model/stl', buffer: Buffer.from('solid advice') });
  await expect(card.getByRole('alert')).toContainText('own.stl');
  await field.setInputFiles({ name: 'own.obj', mimeType: 'text/plain', buffer: Buffer.from('v 0 0 0') });
  await expect(card.getByRole('alert')).toContainText('expected a mesh: a file that ends in .stl or .3mf');

  const text =
    'lowslung: 1\nbase: bramble.rig.yaml\nname: meshed\nchassis: {parts: {extra: {kind: other, at: [0, 0, 160], shape: [{mesh: own.stl}]}}}\n';
  const made = await fetch(`${program.url}/api/rigs`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ file: 'meshed.rig.yaml', text }),
  });
  expect(made.status).toBe(201);
  const { id } = (await made.json()) as { id: string };
  await page.reload();
  await expect(card.getByText('read by meshed.rig.yaml')).toBeVisible();
  await expect(card.getByRole('button', { name: 'Take out own.stl' })).toBeHidden();
  const stage = (await (await fetch(`${program.url}/api/rigs/${id}/stage`)).json()) as {
    bodies: { name: string; shapes: { kind: string; triangles?: string }[] }[];
  };
  const shape = stage.bodies.find((b) => b.name === 'extra')?.shapes[0];
  expect(shape?.kind).toBe('mesh');
  expect(Buffer.from(shape?.triangles ?? '', 'base64').length).toBe(4 * 36); // four triangles of nine float32
  await page.goto(`${program.url}/#/rig/${id}/travel`);
  await expect(page.getByRole('heading', { name: 'travel', exact: true })).toBeVisible();

  await page.goto(program.url);
  await field.setInputFiles({ name: 'other.stl', mimeType: 'model/stl', buffer: Buffer.from(stl()) });
  await card.getByRole('button', { name: 'Take out other.stl' }).click();
  await expect(card.getByText('other.stl was taken out.')).toBeVisible();
});

test('the ridge of the breakover angle comes onto the stage, with swing and joints', async ({ page, program }) => {
  const rigs = (await (await fetch(`${program.url}/api/rigs`)).json()) as { rigs: { id: string; file: string }[] };
  const id = rigs.rigs.find((r) => r.file === 'bramble.rig.yaml')?.id ?? '';
  await page.goto(`${program.url}/#/rig/${id}/ride`);
  const ridge = page.getByRole('button', { name: 'Ridge on the stage' });
  await ridge.click();
  await expect(page.getByText(/over the sharpest ridge it clears, \d/)).toBeVisible();
  await page.getByRole('button', { name: 'swing' }).click();
  await page.getByRole('button', { name: 'joints' }).click();
  const label = (text: RegExp | string) => page.locator('.words .label').filter({ hasText: text }).first();
  await expect(label('rear roll axis')).toBeVisible();
  await expect(label(/° left$/)).toBeVisible();
  await ridge.click();
  await expect(page.getByText(/over the sharpest ridge it clears, \d/)).toBeHidden();
});
