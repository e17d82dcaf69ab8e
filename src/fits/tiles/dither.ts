/** Method by which floats were turned into integers before compression (ZQUANTIZ, FITS Standard 4.0, section 10.2). */
export type Quantisation = 'none' | 'plain' | 'dither-1' | 'dither-2';

const COUNT = 10000;
/** The integer that stands for exactly 0 in SUBTRACTIVE_DITHER_2. */
const EXACT_ZERO = -2147483646;

let table: Float32Array | null = null;

/** The standard's 10000 random numbers (Park & Miller 1988; section 10.2.3 and appendix I: seed 1, the last seed is 1043618065). */
export function ditherTable(): Float32Array {
  if (table) return table;
  const made = new Float32Array(COUNT);
  let seed = 1;
  for (let i = 0; i < COUNT; i++) {
    seed = (16807 * seed) % 2147483647;
    made[i] = seed / 2147483647;
  }
  table = made;
  return made;
}

export interface TileScaling {
  readonly scale: number;
  readonly zero: number;
  /** Integer that means "no value", or null. */
  readonly blank: number | null;
}

/**
 * Turn a tile's integers back into floats: value = (integer - random + 0.5) * scale + zero with dithering, integer * scale + zero
 * without; blanks become NaN. `tile` counts from 1; `seed` is ZDITHER0. Writes to `out`, as long as `integers`.
 */
export function unquantise(
  integers: ArrayLike<number>,
  out: Float32Array | Float64Array,
  tileScaling: TileScaling,
  method: Quantisation,
  tile: number,
  seed: number,
): void {
  const { scale, zero, blank } = tileScaling;
  const count = out.length;
  if (method === 'plain' || method === 'none') {
    for (let i = 0; i < count; i++) {
      const value = integers[i]!;
      out[i] = value === blank ? NaN : value * scale + zero;
    }
    return;
  }
  const random = ditherTable();
  let start = (((tile - 1 + seed - 1) % COUNT) + COUNT) % COUNT;
  let next = Math.floor(random[start]! * 500);
  const exactZero = method === 'dither-2' ? EXACT_ZERO : NaN;
  for (let i = 0; i < count; i++) {
    const value = integers[i]!;
    if (value === blank) out[i] = NaN;
    else if (value === exactZero) out[i] = 0;
    else out[i] = (value - random[next]! + 0.5) * scale + zero;
    next++;
    if (next === COUNT) {
      start = (start + 1) % COUNT;
      next = Math.floor(random[start]! * 500);
    }
  }
}
