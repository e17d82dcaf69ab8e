/**
 * Bessel function of the first kind of order one for any finite x.
 *
 * Source: Abramowitz & Stegun 1964, 9.4.4 and 9.4.6; absolute error below 5e-8 (relative to x below 3).
 */
export function besselJ1(x: number): number {
  const magnitude = Math.abs(x);
  if (magnitude <= 3) {
    const t = (x / 3) ** 2;
    return (
      x *
      (0.5 +
        t *
          (-0.56249985 +
            t * (0.21093573 + t * (-0.03954289 + t * (0.00443319 + t * (-0.00031761 + t * 0.00001109))))))
    );
  }
  const t = 3 / magnitude;
  const amplitude =
    0.79788456 +
    t *
      (0.00000156 +
        t * (0.01659667 + t * (0.00017105 + t * (-0.00249511 + t * (0.00113653 - t * 0.00020033)))));
  const phase =
    magnitude -
    2.35619449 +
    t *
      (0.12499612 +
        t * (0.0000565 + t * (-0.00637879 + t * (0.00074348 + t * (0.00079824 - t * 0.00029166)))));
  return (Math.sign(x) * amplitude * Math.cos(phase)) / Math.sqrt(magnitude);
}
