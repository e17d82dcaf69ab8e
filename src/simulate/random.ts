/** Seeded source of random numbers; every method advances the same stream. */
export interface Random {
  /** Uniform in [0, 1), 32 bits of resolution. */
  readonly uniform: () => number;
  /** Standard normal deviate. */
  readonly normal: () => number;
  /** Poisson deviate of the given mean. */
  readonly poisson: (mean: number) => number;
}

/**
 * A random stream for a seed and a path of labels: equal arguments give equal streams, different labels independent ones,
 * so that a frame does not change when another one is added.
 *
 * Uniform: xoshiro128** (Blackman & Vigna 2018, arXiv:1805.01407), state filled by splitmix32. Normal: polar method
 * (Marsaglia & Bray 1964). Poisson: multiplication of uniforms below a mean of 10, transformed rejection (PTRS, Hoermann 1993)
 * up to 1000, both exact; a rounded normal deviate above, where the neglected skewness is under 0.032.
 * A mean that is zero, negative or NaN gives 0.
 */
export function makeRandom(seed: number, ...labels: readonly (string | number)[]): Random {
  let mix = hashLabels(seed, labels);
  const splitmix = (): number => {
    mix = (mix + 0x9e3779b9) | 0;
    let z = mix;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return (z ^ (z >>> 15)) >>> 0;
  };
  let a = splitmix() | 0;
  let b = splitmix() | 0;
  let c = splitmix() | 0;
  let d = splitmix() | 1;

  const uniform = (): number => {
    const product = Math.imul(b, 5);
    const result = Math.imul((product << 7) | (product >>> 25), 9) >>> 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = (d << 11) | (d >>> 21);
    return result * 2 ** -32;
  };

  let spare = Number.NaN;
  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const x = 2 * uniform() - 1;
      const y = 2 * uniform() - 1;
      const s = x * x + y * y;
      if (s > 0 && s < 1) {
        const factor = Math.sqrt((-2 * Math.log(s)) / s);
        spare = y * factor;
        return x * factor;
      }
    }
  };

  const poisson = (mean: number): number => {
    if (!(mean > 0)) return 0;
    if (mean < 10) {
      const limit = Math.exp(-mean);
      let count = 0;
      for (let product = uniform(); product > limit; product *= uniform()) count++;
      return count;
    }
    if (mean > 1000) return Math.max(0, Math.round(mean + Math.sqrt(mean) * normal()));
    return transformedRejection(mean, uniform);
  };
  return { uniform, normal, poisson };
}

/** PTRS: Hoermann, Insurance: Mathematics and Economics 12 (1993), 39. */
function transformedRejection(mean: number, uniform: () => number): number {
  const spread = 0.931 + 2.53 * Math.sqrt(mean);
  const skew = -0.059 + 0.02483 * spread;
  const inverseAlpha = 1.1239 + 1.1328 / (spread - 3.4);
  const quick = 0.9277 - 3.6224 / (spread - 2);
  for (;;) {
    const u = uniform() - 0.5;
    const v = uniform();
    const us = 0.5 - Math.abs(u);
    const k = Math.floor(((2 * skew) / us + spread) * u + mean + 0.43);
    if (us >= 0.07 && v <= quick) return k;
    if (k < 0 || (us < 0.013 && v > us)) continue;
    const left = Math.log((v * inverseAlpha) / (skew / (us * us) + spread));
    if (left <= k * Math.log(mean) - mean - logFactorial(k)) return k;
  }
}

/** Stirling's series with three correction terms (error below 1e-9 for k >= 10), the plain sum below. */
function logFactorial(k: number): number {
  if (k < 10) {
    let sum = 0;
    for (let i = 2; i <= k; i++) sum += Math.log(i);
    return sum;
  }
  const inverse = 1 / k;
  const series = inverse * (1 / 12 - inverse * inverse * (1 / 360 - (inverse * inverse) / 1260));
  return (k + 0.5) * Math.log(k) - k + 0.5 * Math.log(2 * Math.PI) + series;
}

/** FNV-1a over the seed and the labels. */
function hashLabels(seed: number, labels: readonly (string | number)[]): number {
  let hash = 0x811c9dc5;
  for (const character of [seed, ...labels].join('/')) {
    hash ^= character.codePointAt(0) ?? 0;
    hash = Math.imul(hash, 0x01000193);
  }
  return hash;
}
