import { describe, expect, it } from 'vitest';
import type { Order } from '$lib/api/types';
import { orderCsv, orderMarkdown } from './order';

const order: Order = {
  currency: 'EUR',
  price: 4.2,
  unpriced: 1,
  lines: [
    {
      count: 2,
      have: 0,
      buy: 2,
      what: 'Bearing 688, 8×16×5',
      item: 'bearing-8x16x5',
      from: 'club "order"',
      each: 2.1,
      sum: 4.2,
      currency: 'EUR',
      for: ['front portal bearing'],
      why: 'new',
    },
    {
      count: 1,
      have: 1,
      buy: 0,
      what: 'Spur',
      item: 's',
      from: '',
      each: 1,
      sum: null,
      currency: 'EUR',
      for: [],
      why: 'new',
    },
    {
      count: 1,
      have: 0,
      buy: 1,
      what: 'a pin | of 2.5 mm',
      item: '',
      from: '',
      each: null,
      sum: null,
      currency: '',
      for: [],
      why: 'forgotten',
    },
  ],
};

describe('the shopping list as a file', () => {
  it('is CSV that another reader takes apart again', () => {
    const rows = orderCsv(order).split('\r\n');
    expect(rows).toHaveLength(5);
    expect(rows[1]).toBe(
      '2,2,0,"Bearing 688, 8×16×5",bearing-8x16x5,"club ""order""",2.10,4.20,EUR,front portal bearing,new',
    );
  });
  it('is Markdown with only what is to be bought', () => {
    const text = orderMarkdown(order, 'Bramble');
    expect(text).not.toContain('Spur');
    expect(text).toContain('| 1 | a pin \\| of 2.5 mm (easily forgotten) |');
    expect(text).toContain('Without a price: one line.');
  });
});
