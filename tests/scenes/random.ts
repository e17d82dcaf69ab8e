/** Seeded random numbers for scenes: uniform in [0, 1) (mulberry32, public domain), normal (Box-Muller) and Poisson. */
export interface Random {
  readonly uniform: () => number;
  readonly normal: () => number;
  readonly poisson: (mean: number) => number;
}

export function seededRandom(seed: number): Random {
  let state = (seed * 2654435761) >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  let spare = NaN;
  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = NaN;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  const poisson = (mean: number): number => {
    if (mean > 40) return Math.max(0, Math.round(mean + Math.sqrt(mean) * normal()));
    const limit = Math.exp(-mean);
    let product = uniform();
    let k = 0;
    while (product > limit) {
      product *= uniform();
      k += 1;
    }
    return k;
  };
  return { uniform, normal, poisson };
}
