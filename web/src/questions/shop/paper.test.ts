import { describe, expect, it } from 'vitest';
import { drawn, shopUrl } from './paper';

describe('addresses of drawings', () => {
  it('carry paper, units and the revision', () => {
    expect(shopUrl('7', 3, 'cut/paper', { ...drawn('letter', 'us'), format: 'pdf' })).toBe(
      '/api/rigs/7/shop/cut/paper?paper=letter&units=us&format=pdf&r=3',
    );
  });
  it('repeat what may be repeated, leave out what is not there, and escape names', () => {
    expect(shopUrl('7', 1, 'templates/a b', { part: ['rear & lower', 'x'], twins: undefined })).toBe(
      '/api/rigs/7/shop/templates/a%20b?part=rear+%26+lower&part=x&r=1',
    );
  });
});
