import { besselJ0 } from './bessel-j0.js';

/** Radial brightness of a point source through the air, of unit total flux; radius and FWHM in the same unit. */
export interface SeeingProfile {
  readonly fwhm: number;
  /** Flux per unit area at a radius >= 0. */
  readonly at: (radius: number) => number;
}

/** Ratio of the FWHM of a Kolmogorov star image to lambda/r0 (Fried 1966; Roddier 1981). */
export const KOLMOGOROV_FWHM = 0.976;

/** Radius, in lambda/r0, beyond which the power law of the wings takes over from the table. */
const TABLE_END = 8;
const TABLE_STEP = 0.02;

let unitTable: Float64Array | null = null;

/** Kolmogorov long-exposure profile against q = angle / (lambda/r0): Hankel transform of exp(-3.44 nu^(5/3)) (Fried 1966). */
function kolmogorovTable(): Float64Array {
  if (unitTable) return unitTable;
  const table = new Float64Array(Math.round(TABLE_END / TABLE_STEP) + 2);
  // The transfer function is below 1e-15 at nu = 4; Simpson's rule with 40 points a cycle at the table's end.
  const cells = 1400;
  const step = 4 / cells;
  const weight = new Float64Array(cells + 1);
  for (let i = 0; i <= cells; i++) {
    const nu = i * step;
    const simpson = i === 0 || i === cells ? 1 : i % 2 === 1 ? 4 : 2;
    weight[i] = ((simpson * step) / 3) * 2 * Math.PI * nu * Math.exp(-3.44 * nu ** (5 / 3));
  }
  for (let j = 0; j < table.length; j++) {
    const omega = 2 * Math.PI * j * TABLE_STEP;
    let sum = 0;
    for (let i = 1; i <= cells; i++) sum += weight[i] * besselJ0(omega * i * step);
    table[j] = sum;
  }
  unitTable = table;
  return table;
}

/**
 * Long-exposure image of a star through Kolmogorov turbulence, of the given FWHM (any unit, > 0).
 * Wings fall as radius^(-11/3), joined to the table at 8 lambda/r0. Throws RangeError when the width is not above zero.
 */
export function kolmogorovProfile(fwhm: number): SeeingProfile {
  checkWidth(fwhm);
  const table = kolmogorovTable();
  const unit = fwhm / KOLMOGOROV_FWHM;
  const area = unit * unit;
  const last = table[table.length - 2];
  return {
    fwhm,
    at: (radius) => {
      const q = radius / unit;
      if (q >= TABLE_END) return (last * (q / TABLE_END) ** (-11 / 3)) / area;
      return cubicLookUp(table, q / TABLE_STEP) / area;
    },
  };
}

/** Moffat (1969) profile of the given FWHM and exponent beta > 1, unit flux. */
export function moffatProfile(fwhm: number, beta: number): SeeingProfile {
  checkWidth(fwhm);
  if (!(beta > 1)) throw new RangeError(`a Moffat profile needs beta > 1 for a finite flux, got ${beta}`);
  const alphaSquared = (fwhm / 2) ** 2 / (2 ** (1 / beta) - 1);
  const peak = (beta - 1) / (Math.PI * alphaSquared);
  return { fwhm, at: (radius) => peak * (1 + (radius * radius) / alphaSquared) ** -beta };
}

/** Circular Gaussian of the given FWHM, unit flux. */
export function gaussianProfile(fwhm: number): SeeingProfile {
  checkWidth(fwhm);
  const variance = fwhm ** 2 / (8 * Math.LN2);
  return { fwhm, at: (radius) => Math.exp((-radius * radius) / (2 * variance)) / (2 * Math.PI * variance) };
}

/** A star with part of its light scattered into a wide halo, as dew on the glass does; `share` of the flux in the halo, 0..1. */
export function withHalo(core: SeeingProfile, share: number, haloFwhm: number): SeeingProfile {
  if (share === 0) return core;
  const halo = moffatProfile(haloFwhm, 1.8);
  return { fwhm: core.fwhm, at: (radius) => (1 - share) * core.at(radius) + share * halo.at(radius) };
}

/** Catmull-Rom interpolation in a table of an even function sampled from radius zero. */
function cubicLookUp(table: Float64Array, position: number): number {
  const i = Math.floor(position);
  const t = position - i;
  const before = table[Math.abs(i - 1)];
  const here = table[i];
  const next = table[i + 1];
  const after = i + 2 < table.length ? table[i + 2] : next;
  return (
    here +
    0.5 *
      t *
      (next -
        before +
        t * (2 * before - 5 * here + 4 * next - after + t * (3 * (here - next) + after - before)))
  );
}

function checkWidth(fwhm: number): void {
  if (!(fwhm > 0 && Number.isFinite(fwhm))) throw new RangeError(`a width must be above zero, got ${fwhm}`);
}
