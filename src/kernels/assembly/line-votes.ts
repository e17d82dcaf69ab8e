import { held } from './lanes';

/** How many of `count` floats are above a limit. */
export function countAbove(values: usize, count: i32, limit: f64): i32 {
  const limit4 = held(f32x4.splat(<f32>limit));
  let counts = i32x4.splat(0);
  const whole = count & ~3;
  for (let i = 0; i < whole; i += 4)
    counts = i32x4.sub(counts, f32x4.gt(v128.load(values + ((<usize>i) << 2)), limit4));
  let n =
    i32x4.extract_lane(counts, 0) +
    i32x4.extract_lane(counts, 1) +
    i32x4.extract_lane(counts, 2) +
    i32x4.extract_lane(counts, 3);
  for (let i = whole; i < count; i += 1) if (load<f32>(values + ((<usize>i) << 2)) > <f32>limit) n += 1;
  return n;
}

/** Column and row, as floats, of every `every`-th value above a limit, row by row; returns how many. */
export function placesAbove(
  values: usize,
  columns: i32,
  rows: i32,
  limit: f64,
  every: i32,
  xs: usize,
  ys: usize,
): i32 {
  const limit4 = held(f32x4.splat(<f32>limit));
  const top = <f32>limit;
  let turn = 0;
  let n = 0;
  for (let j = 0; j < rows; j += 1) {
    for (let i = 0; i < columns;) {
      const at = values + ((<usize>(j * columns + i)) << 2);
      if (i + 4 <= columns && !v128.any_true(f32x4.gt(v128.load(at), limit4))) {
        i += 4;
        continue;
      }
      if (load<f32>(at) > top) {
        turn += 1;
        if (turn == every) {
          turn = 0;
          store<f32>(xs + ((<usize>n) << 2), <f32>i);
          store<f32>(ys + ((<usize>n) << 2), <f32>j);
          n += 1;
        }
      }
      i += 1;
    }
  }
  return n;
}

function vote(votes: usize, bin: i32): void {
  const at = votes + ((<usize>bin) << 1);
  store<u16>(at, load<u16>(at) + 1);
}

/**
 * Votes of `count` places (floats; a multiple of 4) for the lines x c + y s = r - `reach`, r = 0 .. 2 reach, whole numbers of 16 bits to `votes`; and to `scores`, floats, how many
 * standard deviations each line has more than the places' overall density puts on a line of its length inside `columns` x `rows`; 0 where there are fewer votes than `least`.
 * Returns the highest score. Both lines with room for seven more.
 */
export function lineScores(
  xs: usize,
  ys: usize,
  count: i32,
  c: f64,
  s: f64,
  reach: i32,
  columns: i32,
  rows: i32,
  density: f64,
  least: i32,
  votes: usize,
  scores: usize,
): f64 {
  const width = 2 * reach + 1;
  memory.fill(votes, 0, ((<usize>width) << 1) + 14);
  const c4 = held(f32x4.splat(<f32>c));
  const s4 = held(f32x4.splat(<f32>s));
  // Half a block more, cut to whole numbers, is the nearest one: the sum is above zero.
  const middle = held(f32x4.splat(<f32>reach + <f32>0.5));
  for (let k = 0; k < count; k += 4) {
    const at = (<usize>k) << 2;
    const r = i32x4.trunc_sat_f32x4_s(
      f32x4.add(f32x4.add(f32x4.mul(v128.load(xs + at), c4), f32x4.mul(v128.load(ys + at), s4)), middle),
    );
    vote(votes, i32x4.extract_lane(r, 0));
    vote(votes, i32x4.extract_lane(r, 1));
    vote(votes, i32x4.extract_lane(r, 2));
    vote(votes, i32x4.extract_lane(r, 3));
  }
  // Points of a line are (rho c - t s, rho s + t c); its length inside is the range of t that both pairs of sides allow. A direction along a side stays within it, or without, for all t.
  const along = abs(s) < 1e-9 ? 1e-9 : s;
  const up = abs(c) < 1e-9 ? 1e-9 : c;
  const perLeft = held(f32x4.splat(<f32>(c / along)));
  const left0 = held(f32x4.splat(<f32>(0.5 / along)));
  const right0 = held(f32x4.splat(<f32>((0.5 - <f64>columns) / along)));
  const perBottom = held(f32x4.splat(<f32>(-s / up)));
  const bottom0 = held(f32x4.splat(<f32>(-0.5 / up)));
  const top0 = held(f32x4.splat(<f32>((<f64>rows - 0.5) / up)));
  const density4 = held(f32x4.splat(<f32>density));
  const least4 = held(f32x4.splat(<f32>least));
  const four = f32x4.splat(4);
  const none = f32x4.splat(0);
  let best = f32x4.splat(0);
  let rho = f32x4.add(f32x4.splat(<f32>-reach), f32x4(0, 1, 2, 3));
  for (let r = 0; r < width; r += 4) {
    const n = f32x4.convert_i32x4_u(v128.load_ext<u16>(votes + ((<usize>r) << 1)));
    const across = f32x4.mul(rho, perLeft);
    const down = f32x4.mul(rho, perBottom);
    const left = f32x4.add(across, left0);
    const right = f32x4.add(across, right0);
    const bottom = f32x4.add(down, bottom0);
    const top = f32x4.add(down, top0);
    const from = f32x4.max(f32x4.min(left, right), f32x4.min(bottom, top));
    const to = f32x4.min(f32x4.max(left, right), f32x4.max(bottom, top));
    const expected = f32x4.mul(density4, f32x4.max(none, f32x4.sub(to, from)));
    const excess = f32x4.div(f32x4.sub(n, expected), f32x4.sqrt(f32x4.add(expected, four)));
    const score = v128.and(excess, f32x4.ge(n, least4));
    v128.store(scores + ((<usize>r) << 2), score);
    best = f32x4.max(best, score);
    rho = f32x4.add(rho, four);
  }
  return max(
    max(f32x4.extract_lane(best, 0), f32x4.extract_lane(best, 1)),
    max(f32x4.extract_lane(best, 2), f32x4.extract_lane(best, 3)),
  );
}
