/** Four pixels from `at` as floats, whatever the stored type. */
export function load4<T>(at: usize): v128 {
  if (sizeof<T>() == 2) return f32x4.convert_i32x4_u(v128.load_ext<u16>(at));
  return v128.load(at);
}

/** One pixel as a float. */
export function load1<T>(at: usize): f32 {
  if (sizeof<T>() == 2) return <f32>load<u16>(at);
  return load<f32>(at);
}

/** Writes one pixel from a float, to the nearest step of the stored type. */
export function store1<T>(at: usize, v: f32): void {
  if (sizeof<T>() == 2) store<u16>(at, <u16>(max(<f32>0, v) + <f32>0.5));
  else store<f32>(at, v);
}

/** The first `count` lanes, all from 4 on. */
export function lanesBelow(count: i32): v128 {
  return i32x4.lt_s(i32x4(0, 1, 2, 3), i32x4.splat(count));
}

/** Sum of four lanes. */
export function sum4(v: v128): f64 {
  return (
    <f64>f32x4.extract_lane(v, 0) +
    <f64>f32x4.extract_lane(v, 1) +
    <f64>f32x4.extract_lane(v, 2) +
    <f64>f32x4.extract_lane(v, 3)
  );
}

/** Lowest of four lanes. */
export function lowest4(v: v128): f32 {
  return min(
    min(f32x4.extract_lane(v, 0), f32x4.extract_lane(v, 1)),
    min(f32x4.extract_lane(v, 2), f32x4.extract_lane(v, 3)),
  );
}

/** Highest of four lanes. */
export function highest4(v: v128): f32 {
  return max(
    max(f32x4.extract_lane(v, 0), f32x4.extract_lane(v, 1)),
    max(f32x4.extract_lane(v, 2), f32x4.extract_lane(v, 3)),
  );
}

/** Lanes that count on a colour mosaic when the first of them has parity `first` (0: it is green); all for -1. */
export function greenLanes(first: i32): v128 {
  if (first < 0) return i32x4.splat(-1);
  return first == 0 ? i32x4(-1, 0, -1, 0) : i32x4(0, -1, 0, -1);
}

const heldAt: usize = memory.data(16, 16);

/** The same vector, from memory: the engine's compiler would else work it out from numbers of 64 bits again and again inside a loop, at five times the loop's own cost. */
export function held(v: v128): v128 {
  v128.store(heldAt, v);
  return v128.load(heldAt);
}
