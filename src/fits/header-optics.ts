import type { FieldCollector } from './header-field.js';
import type { Header } from './header.js';
import { cardNumber } from './header-number.js';

type Pair = readonly [x: number, y: number];

function asPair(text: string): Pair | null {
  const match = /^\s*\(?\s*(\d+)(?:\s*[x,X*:\s]\s*(\d+))?\s*\)?\s*$/.exec(text);
  return match ? [Number(match[1]), Number(match[2] ?? match[1])] : null;
}

const isBinning = (n: number | null): n is number => n !== null && Number.isInteger(n) && n >= 1 && n <= 64;

/** Binning in x and y, from a pair of cards or from one that holds both ('2x2', '2 2'). */
export function readBinning(header: Header, fields: FieldCollector): Pair | null {
  const pairs = [
    ['XBINNING', 'YBINNING'],
    ['BINX', 'BINY'],
    ['XBIN', 'YBIN'],
    ['CCDXBIN', 'CCDYBIN'],
    ['HBIN', 'VBIN'],
    ['BINAXIS1', 'BINAXIS2'],
    ['XFACTOR', 'YFACTOR'],
  ] as const;
  for (const [kx, ky] of pairs) {
    const x = header.number(kx);
    const y = header.number(ky) ?? x;
    if (isBinning(x) && isBinning(y)) {
      fields.found('binning', kx);
      return [x, y];
    }
  }
  for (const keyword of ['CCDSUM', 'BINNING', 'CCDBIN', 'BIN', 'BINMODE']) {
    const value = header.get(keyword);
    const pair =
      typeof value === 'string' ? asPair(value) : typeof value === 'number' ? asPair(String(value)) : null;
    if (pair && isBinning(pair[0]) && isBinning(pair[1])) {
      fields.found('binning', keyword);
      return pair;
    }
  }
  fields.absent('binning', 'none of XBINNING, BINX, CCDSUM, BINNING in the header');
  return null;
}

/** Pixel pitch in micrometres as the header gives it; millimetres and metres by the unit. */
export function readPixelSize(header: Header, fields: FieldCollector): Pair | null {
  const pairs = [
    ['XPIXSZ', 'YPIXSZ'],
    ['XPIXELSZ', 'YPIXELSZ'],
    ['PIXSIZE1', 'PIXSIZE2'],
    ['PIXELSZX', 'PIXELSZY'],
    ['PIXSIZEX', 'PIXSIZEY'],
    ['PIXSIZE', 'PIXSIZE'],
    ['PIXELSZ', 'PIXELSZ'],
    ['PIXELSIZE', 'PIXELSIZE'],
    ['CCDPXSZ', 'CCDPXSZ'],
  ] as const;
  const micron = (keyword: string): number | null => {
    const card = header.card(keyword);
    const number = card ? cardNumber(card) : null;
    if (!number) return null;
    const unit = (number.unit ?? '').toLowerCase();
    const value = number.value * (unit === 'mm' ? 1000 : unit === 'm' ? 1e6 : 1);
    // Pixels of 0.5 to 200 micrometres exist (binned ones included).
    return value >= 0.5 && value <= 200 ? value : null;
  };
  for (const [kx, ky] of pairs) {
    const x = micron(kx);
    if (x === null) continue;
    fields.found('pixelSizeMicron', kx);
    return [x, micron(ky) ?? x];
  }
  fields.absent(
    'pixelSizeMicron',
    header.has('XPIXSZ')
      ? 'XPIXSZ holds no pixel size in use'
      : 'none of XPIXSZ, PIXSIZE1, PIXSIZE in the header',
  );
  return null;
}

/** Whether the comment of the pixel size says that binning is in it. */
export function readPixelSizeOf(header: Header): 'stored-pixel' | 'sensor-pixel' | null {
  const comment = header.card('XPIXSZ')?.comment ?? '';
  if (/after binning|binned|with binning|incl\S* binning/i.test(comment) && !/unbinned|before/i.test(comment))
    return 'stored-pixel';
  return /unbinned|before binning|without binning|physical|native/i.test(comment) ? 'sensor-pixel' : null;
}

/** A plate scale written as such, arcsec per stored pixel. Keywords that others use for other things count only with a comment that says so. */
export function readScaleKeyword(header: Header, fields: FieldCollector): number | null {
  const sure = ['SECPIX', 'SECPIX1', 'PIXSCALE', 'PIXSCAL1', 'SECPPIX', 'ARCSECPX', 'CDELTASC'];
  const unsure = ['SCALE', 'PIXSCAL', 'PLTSCALE', 'IMGSCALE'];
  for (const keyword of [...sure, ...unsure]) {
    const card = header.card(keyword);
    const number = card ? cardNumber(card) : null;
    if (!card || !number) continue;
    const text = `${number.unit ?? ''} ${card.comment}`;
    if (unsure.includes(keyword) && !/(arcsec|asec|").*pi?x/i.test(text)) continue;
    if (/deg/i.test(number.unit ?? '') || /mm/i.test(number.unit ?? '')) continue;
    const value = Math.abs(number.value);
    if (value > 1e-3 && value < 3600) {
      fields.found('scaleKeywordArcsecPerPx', keyword);
      return value;
    }
  }
  fields.absent('scaleKeywordArcsecPerPx', 'none of SECPIX, PIXSCALE, SCALE in the header');
  return null;
}
