/** A number for a sentence: fixed decimals, a true minus sign, no negative zero. */
export function plainNumber(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text.replace('-', '−');
}

/** `1 night`, `3 nights`. */
export function nightsText(count: number): string {
  return `${count} ${count === 1 ? 'night' : 'nights'}`;
}
