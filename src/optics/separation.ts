/** Angle between two directions given by longitude and latitude (right ascension and declination), all in degrees; haversine, exact for small angles too. */
export function separationDeg(ra1: number, dec1: number, ra2: number, dec2: number): number {
  const rad = Math.PI / 180;
  const a =
    Math.sin(((dec2 - dec1) * rad) / 2) ** 2 +
    Math.cos(dec1 * rad) * Math.cos(dec2 * rad) * Math.sin(((ra2 - ra1) * rad) / 2) ** 2;
  return (2 * Math.asin(Math.min(1, Math.sqrt(a)))) / rad;
}
