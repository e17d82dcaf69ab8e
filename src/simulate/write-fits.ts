/** A value a header card can carry here. */
export type HeaderValue = string | number | boolean;

/** One card to write; `comment` may be empty. A keyword of COMMENT or HISTORY takes its text from `value`. */
export interface HeaderCard {
  readonly keyword: string;
  readonly value: HeaderValue;
  readonly comment: string;
}

const BLOCK = 2880;
const CARD = 80;

/**
 * One-image FITS file as bytes (FITS Standard 4.0): unsigned 16-bit pixels through BZERO = 32768 from a Uint16Array,
 * 32-bit floating point from a Float32Array, signed or unsigned bytes from a Uint8Array.
 *
 * `pixels`: row-major, first row first, `width` * `height` long; `cards`: header cards after the mandatory ones.
 * Throws RangeError when the pixel count does not fit, or a card cannot be written within the standard.
 */
export function encodeFits(
  pixels: Uint16Array | Uint8Array | Float32Array,
  width: number,
  height: number,
  cards: readonly HeaderCard[],
): Uint8Array {
  if (pixels.length !== width * height || width < 1 || height < 1) {
    throw new RangeError(`${pixels.length} pixels do not fill ${width} x ${height}`);
  }
  const bitpix = pixels instanceof Uint16Array ? 16 : pixels instanceof Uint8Array ? 8 : -32;
  const all: HeaderCard[] = [
    { keyword: 'SIMPLE', value: true, comment: 'conforms to the FITS standard' },
    { keyword: 'BITPIX', value: bitpix, comment: 'bits per pixel' },
    { keyword: 'NAXIS', value: 2, comment: 'number of axes' },
    { keyword: 'NAXIS1', value: width, comment: 'pixels along x' },
    { keyword: 'NAXIS2', value: height, comment: 'pixels along y' },
  ];
  if (bitpix === 16) {
    all.push({ keyword: 'BZERO', value: 32768, comment: 'offset of unsigned 16-bit values' });
    all.push({ keyword: 'BSCALE', value: 1, comment: 'scale of stored values' });
  }
  all.push(...cards);
  const text = all.map(formatCard).join('') + 'END'.padEnd(CARD);
  const headerBytes = roundUp(text.length);
  const dataBytes = (pixels.length * Math.abs(bitpix)) / 8;
  const bytes = new Uint8Array(headerBytes + roundUp(dataBytes));
  bytes.fill(0x20, 0, headerBytes);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  if (pixels instanceof Uint8Array) {
    bytes.set(pixels, headerBytes);
  } else if (pixels instanceof Uint16Array) {
    for (let i = 0, to = headerBytes; i < pixels.length; i++) {
      // Flipping the top bit is subtracting BZERO in two's complement.
      const stored = pixels[i] ^ 0x8000;
      bytes[to++] = stored >> 8;
      bytes[to++] = stored & 0xff;
    }
  } else {
    const view = new DataView(bytes.buffer);
    for (let i = 0, to = headerBytes; i < pixels.length; i++, to += 4) view.setFloat32(to, pixels[i]);
  }
  return bytes;
}

/** One card of 80 characters (FITS Standard 4.0, section 4). */
export function formatCard({ keyword, value, comment }: HeaderCard): string {
  if (!/^[A-Z0-9_-]{1,8}$/.test(keyword)) throw new RangeError(`'${keyword}' is no FITS keyword`);
  const name = keyword.padEnd(8);
  if (keyword === 'COMMENT' || keyword === 'HISTORY') {
    const text = printable(String(value), keyword);
    if (text.length > 72) throw new RangeError(`${keyword} text is longer than 72 characters: ${text}`);
    return (name + text).padEnd(CARD);
  }
  let field: string;
  if (typeof value === 'boolean') field = (value ? 'T' : 'F').padStart(20);
  else if (typeof value === 'number') field = formatNumber(value, keyword).padStart(20);
  else field = `'${printable(value, keyword).replaceAll("'", "''").padEnd(8)}'`.padEnd(20);
  const card = `${name}= ${field}`;
  if (card.length > CARD) throw new RangeError(`the value of ${keyword} does not fit on one card`);
  return (comment ? `${card} / ${printable(comment, keyword)}` : card).slice(0, CARD).padEnd(CARD);
}

function formatNumber(value: number, keyword: string): string {
  if (!Number.isFinite(value)) throw new RangeError(`${keyword} has no finite value`);
  if (Number.isInteger(value) && Math.abs(value) < 1e15) return String(value);
  const plain = String(value);
  if (plain.length <= 20) return plain.replace('e', 'E');
  return value.toExponential(12).replace('e', 'E');
}

function printable(text: string, keyword: string): string {
  if (!/^[\x20-\x7e]*$/.test(text))
    throw new RangeError(`${keyword} holds characters outside printable ASCII`);
  return text;
}

function roundUp(bytes: number): number {
  return Math.ceil(bytes / BLOCK) * BLOCK;
}
