// Own paraxial, third-order and close-ray arithmetic for the spacing checks; nothing of it is used by src.

/** One refracting surface: curvature (1/mm), index behind it, distance to the next surface (mm). */
export interface RefractingSurface {
  readonly curvature: number;
  readonly indexAfter: number;
  readonly gapMm: number;
}

export interface SeidelSums {
  readonly spherical: number;
  readonly coma: number;
  readonly astigmatism: number;
  readonly petzval: number;
  /** Lagrange invariant H and marginal image-side convergence n'u'. */
  readonly invariant: number;
  readonly imageConvergence: number;
  /** Paraxial distance from the last surface to the image, mm. */
  readonly backFocusMm: number;
}

/**
 * Seidel sums of a system in air for an object at infinity with the stop at its first surface
 * (Welford, Aberrations of Optical Systems, chapter 8: A = n i, A-bar of the chief ray, S = -sum of A.. y delta(u/n), Petzval H^2 P).
 */
export function seidelSums(
  surfaces: readonly RefractingSurface[],
  marginalHeightMm: number,
  fieldRadian: number,
): SeidelSums {
  let [y, u, yBar, uBar, n] = [marginalHeightMm, 0, 0, fieldRadian, 1];
  const invariant = n * (uBar * y - u * yBar);
  let [spherical, coma, astigmatism, petzval] = [0, 0, 0, 0];
  surfaces.forEach((surface, index) => {
    const { curvature: c, indexAfter: m, gapMm } = surface;
    const a = n * (u + y * c);
    const aBar = n * (uBar + yBar * c);
    const uAfter = (n * u - y * c * (m - n)) / m;
    const uBarAfter = (n * uBar - yBar * c * (m - n)) / m;
    const delta = uAfter / m - u / n;
    spherical -= a * a * y * delta;
    coma -= a * aBar * y * delta;
    astigmatism -= aBar * aBar * y * delta;
    petzval -= invariant * invariant * c * (1 / m - 1 / n);
    [u, uBar, n] = [uAfter, uBarAfter, m];
    if (index < surfaces.length - 1) [y, yBar] = [y + u * gapMm, yBar + uBar * gapMm];
  });
  return { spherical, coma, astigmatism, petzval, invariant, imageConvergence: n * u, backFocusMm: -y / u };
}

/** Focus of the tangential and sagittal fans at the field's edge relative to the paraxial plane, mm, positive away from the lens. */
export function thirdOrderSurfaces(sums: SeidelSums): { tangentialMm: number; sagittalMm: number } {
  const scale = -1 / (2 * sums.imageConvergence ** 2);
  return {
    tangentialMm: scale * (3 * sums.astigmatism + sums.petzval),
    sagittalMm: scale * (sums.astigmatism + sums.petzval),
  };
}

/** The same by tracing the chief ray exactly and the close fans about it with Coddington's equations (Welford, chapter 9). */
export function closeRaySurfaces(
  surfaces: readonly RefractingSurface[],
  fieldRadian: number,
  imagePlaneMm: number,
): { tangentialMm: number; sagittalMm: number; heightMm: number } {
  let n = 1;
  let [y, z, angle] = [0, 0, fieldRadian];
  let [s, t] = [Infinity, Infinity];
  surfaces.forEach((surface, index) => {
    const { curvature: c, indexAfter: m, gapMm } = surface;
    // Along the ray to the surface c (y^2 + z^2) - 2 z = 0 about the vertex.
    const [l, k] = [Math.cos(angle), Math.sin(angle)];
    const f = c * (y * y + z * z) - 2 * z;
    const g = l - c * (z * l + y * k);
    const path = f / (g + Math.sqrt(g * g - c * f));
    [y, z] = [y + path * k, z + path * l];
    [s, t] = [s - path, t - path];
    const normal = -Math.asin(c * y);
    const incidence = angle - normal;
    const refracted = Math.asin((n * Math.sin(incidence)) / m);
    const power = c * (m * Math.cos(refracted) - n * Math.cos(incidence));
    s = m / (n / s + power);
    t = (m * Math.cos(refracted) ** 2) / ((n * Math.cos(incidence) ** 2) / t + power);
    angle = normal + refracted;
    n = m;
    if (index < surfaces.length - 1) z -= gapMm;
  });
  const toPlane = (imagePlaneMm - z) / Math.cos(angle);
  return {
    tangentialMm: (t - toPlane) * Math.cos(angle),
    sagittalMm: (s - toPlane) * Math.cos(angle),
    heightMm: y + toPlane * Math.sin(angle),
  };
}

/** Two surfaces of a thin lens: power (1/mm), shape (c1 + c2)/(c1 - c2), index, gap behind it. */
export function thinLens(power: number, shape: number, index: number, gapMm: number): RefractingSurface[] {
  const difference = power / (index - 1);
  return [
    { curvature: (difference * (shape + 1)) / 2, indexAfter: index, gapMm: 0 },
    { curvature: (difference * (shape - 1)) / 2, indexAfter: 1, gapMm },
  ];
}
