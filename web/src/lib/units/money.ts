/** A price as read, with its currency; empty when it is not known. */
export function money(price: number | null | undefined, currency: string): string {
  if (price === null || price === undefined) return '';
  if (!/^[A-Z]{3}$/.test(currency)) return price.toFixed(2);
  return new Intl.NumberFormat('en-GB', { style: 'currency', currency }).format(price);
}
