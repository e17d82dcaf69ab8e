const WORDS = [
  'right',
  'upper right',
  'top',
  'upper left',
  'left',
  'lower left',
  'bottom',
  'lower right',
] as const;

/** A direction in the pixel frame (degrees counter-clockwise from +x, y up) as a side of the picture. */
export function directionWords(directionDeg: number): string {
  const eighth = Math.round((((directionDeg % 360) + 360) % 360) / 45) % 8;
  return WORDS[eighth]!;
}
