/** Light distributions of a point source before the pixel, total flux 1, as functions of position in pixels. */
export type Profile = (x: number, y: number) => number;

/** Radial profile of the long-exposure Kolmogorov atmosphere, FWHM 1, tabulated once: Hankel transform of exp(-3.44 (f/f0)^(5/3)) (Fried 1966). */
const kolmogorovTable = ((): { readonly step: number; readonly values: Float64Array } => {
  const intensity = (r: number): number => {
    // Simpson over f in [0, 4]: the integrand is below 1e-15 beyond.
    const steps = 4000;
    const h = 3.2 / steps;
    let sum = 0;
    for (let i = 0; i <= steps; i += 1) {
      const f = i * h;
      const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
      sum += weight * f * Math.exp(-3.44 * f ** (5 / 3)) * besselJ0(2 * Math.PI * f * r);
    }
    return (2 * Math.PI * sum * h) / 3;
  };
  const peak = intensity(0);
  let low = 0.1;
  let high = 2;
  for (let i = 0; i < 50; i += 1) {
    const middle = (low + high) / 2;
    if (intensity(middle) > peak / 2) low = middle;
    else high = middle;
  }
  const fwhm = 2 * low;
  const step = 0.01;
  const values = new Float64Array(1001);
  for (let k = 0; k < values.length; k += 1) values[k] = intensity(k * step * fwhm) * fwhm * fwhm;
  return { step, values };
})();

/** Bessel function of the first kind, order 0: Abramowitz & Stegun 9.4.1 and 9.4.3 (error under 2e-8). */
function besselJ0(x: number): number {
  const ax = Math.abs(x);
  if (ax < 3) {
    const t = (x / 3) ** 2;
    return (
      1 +
      t * (-2.2499997 + t * (1.2656208 + t * (-0.3163866 + t * (0.0444479 + t * (-0.0039444 + t * 0.00021)))))
    );
  }
  const t = 3 / ax;
  const amplitude =
    0.79788456 +
    t *
      (-0.00000077 +
        t * (-0.0055274 + t * (-0.00009512 + t * (0.00137237 + t * (-0.00072805 + t * 0.00014476)))));
  const phase =
    ax -
    0.78539816 +
    t *
      (-0.04166397 +
        t * (-0.00003954 + t * (0.00262573 + t * (-0.00054125 + t * (-0.00029333 + t * 0.00013558)))));
  return (amplitude * Math.cos(phase)) / Math.sqrt(ax);
}

export function kolmogorov(fwhmPx: number): Profile {
  const { step, values } = kolmogorovTable;
  const last = values.length - 1;
  return (x, y) => {
    const r = Math.hypot(x, y) / fwhmPx;
    const k = r / step;
    // Beyond the table the asymptotic law r^(-11/3).
    if (k >= last) return (values[last] * (k / last) ** (-11 / 3)) / (fwhmPx * fwhmPx);
    const i = Math.floor(k);
    return (values[i] + (k - i) * (values[i + 1] - values[i])) / (fwhmPx * fwhmPx);
  };
}

export function gaussian(fwhmPx: number): Profile {
  const variance = (fwhmPx / 2.3548200450309493) ** 2;
  return (x, y) => Math.exp(-(x * x + y * y) / (2 * variance)) / (2 * Math.PI * variance);
}

/** Core and halo: what optics and seeing together often look like. */
export function twoGaussians(fwhmPx: number, haloFraction = 0.3, haloScale = 2): Profile {
  const core = gaussian(fwhmPx);
  const halo = gaussian(fwhmPx * haloScale);
  return (x, y) => (1 - haloFraction) * core(x, y) + haloFraction * halo(x, y);
}

/** Uniform annulus: a defocused star, `obstruction` = inner over outer diameter. */
export function annulus(diameterPx: number, obstruction = 0): Profile {
  const outer = diameterPx / 2;
  const inner = outer * obstruction;
  const level = 1 / (Math.PI * (outer * outer - inner * inner));
  return (x, y) => {
    const r = Math.hypot(x, y);
    return r <= outer && r >= inner ? level : 0;
  };
}

/** Stretched by `elongation` along `angleDeg`, area of the half-maximum ellipse kept. */
export function stretched(profile: Profile, elongation: number, angleDeg: number): Profile {
  const c = Math.cos((angleDeg * Math.PI) / 180);
  const s = Math.sin((angleDeg * Math.PI) / 180);
  const root = Math.sqrt(elongation);
  return (x, y) => profile((c * x + s * y) / root, (c * y - s * x) * root);
}

/** Moved along a path of positions (pixels) during the exposure. */
export function tracked(profile: Profile, path: readonly (readonly [number, number])[]): Profile {
  return (x, y) => {
    let sum = 0;
    for (const [px, py] of path) sum += profile(x - px, y - py);
    return sum / path.length;
  };
}

/** A straight drift of the given length. */
export function driftPath(lengthPx: number, angleDeg: number, steps = 15): [number, number][] {
  const c = Math.cos((angleDeg * Math.PI) / 180);
  const s = Math.sin((angleDeg * Math.PI) / 180);
  return Array.from({ length: steps }, (_, k) => {
    const t = ((k + 0.5) / steps - 0.5) * lengthPx;
    return [t * c, t * s];
  });
}

/** Sum of two profiles, the second one displaced: an asymmetric image. */
export function sumOf(a: Profile, b: Profile, fractionB: number, dx: number, dy: number): Profile {
  return (x, y) => (1 - fractionB) * a(x, y) + fractionB * b(x - dx, y - dy);
}

/** Two profiles convolved numerically on a grid of `step` pixels: seeing and defocus together. */
export function convolved(a: Profile, b: Profile, radiusB: number, step: number): Profile {
  const points: [number, number, number][] = [];
  for (let y = -radiusB; y <= radiusB; y += step) {
    for (let x = -radiusB; x <= radiusB; x += step) {
      const v = b(x, y);
      if (v > 0) points.push([x, y, v]);
    }
  }
  const total = points.reduce((sum, p) => sum + p[2], 0);
  return (x, y) => {
    let sum = 0;
    for (const [px, py, v] of points) sum += v * a(x - px, y - py);
    return sum / total;
  };
}
