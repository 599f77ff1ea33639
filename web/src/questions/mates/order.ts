import type { Order } from '$lib/api/types';
import { money } from '$lib/units/money';

/** The shopping list as a file: what is still to buy, in the program's own order (new first, then what is easily forgotten). */
const titles = ['to buy', 'needed', 'have', 'what', 'item', 'from', 'each', 'sum', 'currency', 'for', 'why'];

const rowsOf = (order: Order): string[][] =>
  order.lines.map((l) => [
    String(l.buy),
    String(l.count),
    String(l.have),
    l.what,
    l.item,
    l.from,
    l.each === null ? '' : l.each.toFixed(2),
    l.sum === null ? '' : l.sum.toFixed(2),
    l.currency,
    l.for.join('; '),
    l.why,
  ]);

/** RFC 4180. */
export function orderCsv(order: Order): string {
  const cell = (text: string): string => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  return [titles, ...rowsOf(order)].map((row) => row.map(cell).join(',')).join('\r\n') + '\r\n';
}

/** A list to tick off: only what is to be bought, sums below. */
export function orderMarkdown(order: Order, name: string): string {
  const safe = (text: string): string => text.replaceAll('|', '\\|');
  const lines = order.lines
    .filter((l) => l.buy > 0)
    .map((l) => {
      const where = [l.item, l.from].filter(Boolean).join(', ');
      const why = l.why === 'forgotten' ? ' (easily forgotten)' : '';
      return `| ${l.buy} | ${safe(l.what)}${why} | ${safe(where)} | ${money(l.sum, l.currency) || '–'} |`;
    });
  const sum = order.currency ? `\nSum of the prices known: ${money(order.price, order.currency)}.` : '';
  const open = order.unpriced
    ? `\nWithout a price: ${order.unpriced === 1 ? 'one line' : `${order.unpriced} lines`}.`
    : '';
  return `# To buy for ${name}\n\n| Count | What | Item, from | Price |\n| ---: | --- | --- | ---: |\n${lines.join('\n')}\n${sum}${open}\n`;
}
