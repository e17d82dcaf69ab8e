/** Double number k from an address on. */
export function entry(from: usize, k: i32): f64 {
  return load<f64>(from + ((<usize>k) << 3));
}

export function put(from: usize, k: i32, value: f64): void {
  store<f64>(from + ((<usize>k) << 3), value);
}
