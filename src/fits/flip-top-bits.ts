/** Turn signed 16-bit integers into unsigned ones of the same order, 32768 higher, where they lie; read them as a Uint16Array afterwards. */
export function flipTopBits(stored: Int16Array): void {
  const { buffer, byteOffset, length } = stored;
  let done = 0;
  // Two pixels at a time, four pairs a turn: the loop's own bookkeeping takes most of the time otherwise.
  if (byteOffset % 4 === 0) {
    const pairs = new Int32Array(buffer, byteOffset, (length >> 3) << 2);
    const both = 0x80008000 | 0;
    for (let i = 0; i < pairs.length; i += 4) {
      pairs[i] = pairs[i]! ^ both;
      pairs[i + 1] = pairs[i + 1]! ^ both;
      pairs[i + 2] = pairs[i + 2]! ^ both;
      pairs[i + 3] = pairs[i + 3]! ^ both;
    }
    done = pairs.length * 2;
  }
  for (let i = done; i < length; i++) stored[i] = stored[i]! ^ 0x8000;
}
