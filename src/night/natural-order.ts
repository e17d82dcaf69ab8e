const collator = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });

/** Compares two names the way people count: `sub_2` before `sub_10`; ties are settled by code point so that the order is total. */
export function compareNatural(a: string, b: string): number {
  return collator.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0);
}
