/** Small FITS files for tests, written card by card. */

const card = (keyword: string, value: string): string =>
  `${keyword.padEnd(8)}= ${value.padStart(20)}`.padEnd(80);

function padded(bytes: Uint8Array, fill: number): Uint8Array {
  const out = new Uint8Array(Math.ceil(bytes.length / 2880) * 2880).fill(fill);
  out.set(bytes);
  return out;
}

/** A header from cards as they are (80 characters each after padding), with END and padding. */
export function headerFrom(images: readonly string[]): Uint8Array {
  const text = `${images.map((image) => image.padEnd(80)).join('')}${'END'.padEnd(80)}`;
  return padded(Buffer.from(text, 'latin1'), 32);
}

export interface FileSketch {
  readonly bitpix?: number;
  readonly axes?: readonly number[];
  /** Cards by keyword, replacing mandatory ones; values as they stand in the file. */
  readonly cards?: Readonly<Record<string, string>>;
  /** An extension's type instead of SIMPLE. */
  readonly extension?: string;
  /** Stored value of a pixel by its index; default: a seeded ramp. */
  readonly pixel?: (index: number) => number;
}

/** A header with the mandatory cards of an image. */
export function headerBytes(sketch: FileSketch): Uint8Array {
  const { bitpix = 16, axes = [40, 30], cards = {}, extension } = sketch;
  const mandatory: Record<string, string> = {
    ...(extension ? { XTENSION: `'${extension.padEnd(8)}'` } : { SIMPLE: 'T' }),
    BITPIX: String(bitpix),
    NAXIS: String(axes.length),
    ...Object.fromEntries(axes.map((length, i) => [`NAXIS${i + 1}`, String(length)])),
    ...(extension ? { PCOUNT: '0', GCOUNT: '1' } : {}),
  };
  return headerFrom(
    Object.entries({ ...mandatory, ...cards }).map(([keyword, value]) => card(keyword, value)),
  );
}

/** One image HDU with pixels. */
export function fitsBytes(sketch: FileSketch): Uint8Array {
  const { bitpix = 16, axes = [40, 30], pixel = (i) => (i * 37) % 251 } = sketch;
  const count = axes.reduce((product, length) => product * length, axes.length === 0 ? 0 : 1);
  const size = Math.abs(bitpix) / 8;
  const data = new DataView(new ArrayBuffer(count * size));
  for (let i = 0; i < count; i++) {
    const value = pixel(i);
    if (bitpix === 8) data.setUint8(i, value);
    else if (bitpix === 16) data.setInt16(2 * i, value);
    else if (bitpix === 32) data.setInt32(4 * i, value);
    else if (bitpix === 64) data.setBigInt64(8 * i, BigInt(value));
    else if (bitpix === -32) data.setFloat32(4 * i, value);
    else data.setFloat64(8 * i, value);
  }
  return Buffer.concat([headerBytes(sketch), padded(new Uint8Array(data.buffer), 0)]);
}
