/** The one vocabulary for the sides of the sensor; `field`'s corners have the same names with a hyphen. */
const WORDS = [
  'right',
  'top right',
  'top',
  'top left',
  'left',
  'bottom left',
  'bottom',
  'bottom right',
] as const;

/** A direction in the pixel frame (degrees counter-clockwise from +x, y up) as a side of the picture. */
export function sideWords(directionDeg: number): string {
  const eighth = Math.round((((directionDeg % 360) + 360) % 360) / 45) % 8;
  return WORDS[eighth]!;
}
