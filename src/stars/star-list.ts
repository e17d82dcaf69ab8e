import type { StarTable } from './types.js';

interface StarListColumn {
  readonly name: string;
  /** Unit in the VOUnit spelling that astropy reads; empty for a pure number. */
  readonly unit: string;
  readonly description: string;
  readonly datatype: 'float64' | 'int32' | 'uint16';
  readonly text: (table: StarTable, k: number, frame: ListedFrame) => string;
}

/** What the list needs to know of the frame beside its stars. */
export interface ListedFrame {
  /** Arcseconds per pixel; null when unknown: then there are no columns in arcseconds. */
  readonly scaleArcsecPerPx: number | null;
  /** Columns and rows of the stored image before the first pixel measured: positions in the list are those of the file. */
  readonly origin?: { readonly x: number; readonly y: number };
}

const number = (v: number, digits: number): string => (Number.isFinite(v) ? v.toFixed(digits) : 'nan');

function figure(
  name: string,
  column: Exclude<keyof StarTable, 'count' | 'flags' | 'fwhmSharedError' | 'hfdSharedError'>,
  digits: number,
  unit: string,
  description: string,
): StarListColumn {
  return {
    name,
    unit,
    description,
    datatype: 'float64',
    text: (table, k) => number(table[column][k], digits),
  };
}

/** A width's own error and the one that all stars share, together. */
function widthError(name: string, width: 'fwhm' | 'hfd'): StarListColumn {
  return {
    name,
    unit: 'pix',
    description: `standard error of ${width}, with what all stars share`,
    datatype: 'float64',
    text: (table, k) =>
      number(Math.hypot(table[`${width}Error`][k], table[`${width}SharedError`] * table[width][k]), 4),
  };
}

function position(name: 'x' | 'y', description: string): StarListColumn {
  return {
    name,
    unit: 'pix',
    description,
    datatype: 'float64',
    text: (table, k, { origin }) => number(table[name][k] + (origin?.[name] ?? 0), 3),
  };
}

const COLUMNS: readonly StarListColumn[] = [
  {
    name: 'id',
    unit: '',
    description: 'number of the star, brightest first',
    datatype: 'int32',
    text: (_, k) => String(k + 1),
  },
  position('x', 'position along NAXIS1 of the stored image, first pixel = 1'),
  position('y', 'position along NAXIS2 of the stored image, first pixel = 1'),
  figure('flux', 'flux', 1, 'adu', 'total flux above the local background'),
  figure('peak', 'peak', 1, 'adu', 'highest pixel above the local background'),
  figure('snr', 'snr', 1, '', 'signal to noise'),
  figure('background', 'background', 2, 'adu', 'local background'),
  figure('fwhm', 'fwhm', 4, 'pix', 'full width at half maximum, geometric mean of both axes, pixel included'),
  widthError('fwhm_error', 'fwhm'),
  figure('elongation', 'elongation', 4, '', 'long over short axis, noise bias removed'),
  figure('angle', 'angleDeg', 2, 'deg', 'long axis, counter-clockwise from +x'),
  figure('e1', 'e1', 5, '', 'ellipticity (a2 - b2)/(a2 + b2) cos 2 angle'),
  figure('e2', 'e2', 5, '', 'ellipticity (a2 - b2)/(a2 + b2) sin 2 angle'),
  figure('e_error', 'eError', 5, '', 'standard error of each of e1, e2'),
  figure('beta', 'beta', 3, '', 'exponent of the Moffat profile'),
  figure('hfd', 'hfd', 4, 'pix', 'half-flux diameter'),
  widthError('hfd_error', 'hfd'),
  figure('mxx', 'mxx', 5, 'pix2', 'adaptive second moment along x'),
  figure('mxy', 'mxy', 5, 'pix2', 'adaptive mixed second moment'),
  figure('myy', 'myy', 5, 'pix2', 'adaptive second moment along y'),
  figure('m_error', 'mError', 5, 'pix2', 'standard error of (mxx + myy)/2'),
  figure('skew_x', 'skewX', 5, '', 'third moment (coma-like asymmetry) along x over sigma^3'),
  figure('skew_y', 'skewY', 5, '', 'third moment (coma-like asymmetry) along y over sigma^3'),
  figure('skew_error', 'skewError', 5, '', 'standard error of each of skew_x, skew_y'),
  {
    name: 'flags',
    unit: '',
    description:
      'sum of: 1 clipped, 2 blended, 4 cut by the border, 8 bad pixels, 16 too sharp, 32 too wide, 64 no profile fit, 128 no moments, 256 faint',
    datatype: 'uint16',
    text: (table, k) => String(table.flags[k]),
  },
];

const ARCSEC: StarListColumn = {
  name: 'fwhm_arcsec',
  unit: 'arcsec',
  description: 'full width at half maximum on the sky',
  datatype: 'float64',
  text: (table, k, { scaleArcsecPerPx }) => number(table.fwhm[k] * (scaleArcsecPerPx ?? NaN), 4),
};

function columnsFor(frame: ListedFrame): readonly StarListColumn[] {
  return frame.scaleArcsecPerPx === null ? COLUMNS : [...COLUMNS, ARCSEC];
}

function rows(
  table: StarTable,
  columns: readonly StarListColumn[],
  frame: ListedFrame,
  separator: string,
): string {
  const lines: string[] = [];
  for (let k = 0; k < table.count; k += 1)
    lines.push(columns.map((c) => c.text(table, k, frame)).join(separator));
  return lines.length > 0 ? lines.join('\n') + '\n' : '';
}

/**
 * The star list as an ECSV table (Enhanced Character Separated Values 1.0: Astropy Proposal for Enhancement 6), with unit and description of every column.
 *
 * Adds the width in arcseconds when the plate scale is known. Figures that could not be measured read `nan`.
 */
export function starListEcsv(table: StarTable, frame: ListedFrame): string {
  const columns = columnsFor(frame);
  const header = columns.map(({ name, unit, datatype, description }) => {
    const unitPart = unit === '' ? '' : `unit: ${unit}, `;
    return `# - {name: ${name}, ${unitPart}datatype: ${datatype}, description: '${description}'}`;
  });
  const head = [
    '# %ECSV 1.0',
    '# ---',
    '# datatype:',
    ...header,
    '# schema: astropy-2.0',
    columns.map((c) => c.name).join(' '),
  ];
  return head.join('\n') + '\n' + rows(table, columns, frame, ' ');
}

/** The star list as comma-separated values with one header line; the same columns as the ECSV table, `nan` where not measured. */
export function starListCsv(table: StarTable, frame: ListedFrame): string {
  const columns = columnsFor(frame);
  return columns.map((c) => c.name).join(',') + '\n' + rows(table, columns, frame, ',');
}
