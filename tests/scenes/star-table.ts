import { emptyColumns, type StarColumns } from '../../src/stars/star-columns.js';
import { seededRandom } from './random.js';

export interface TableOptions {
  readonly count: number;
  readonly width?: number;
  readonly height?: number;
  readonly seed?: number;
  readonly fwhm?: number;
  readonly e1?: number | ((x: number, y: number) => number);
  readonly e2?: number | ((x: number, y: number) => number);
  readonly eError?: number;
  readonly snr?: number;
}

/** A star table of invented stars with noise of the stated size: what the summaries are made from. */
export function tableOf(options: TableOptions): StarColumns {
  const { count, width = 1000, height = 800, seed = 1, fwhm = 3, eError = 0.01, snr = 100 } = options;
  const random = seededRandom(seed);
  const table = emptyColumns(count);
  const at = (f: TableOptions['e1'], x: number, y: number): number =>
    typeof f === 'function' ? f(x, y) : (f ?? 0);
  for (let k = 0; k < count; k += 1) {
    const x = 1 + random.uniform() * (width - 1);
    const y = 1 + random.uniform() * (height - 1);
    table.x[k] = x;
    table.y[k] = y;
    table.flux[k] = 1e5 * (1 - k / (count + 1));
    table.snr[k] = snr;
    table.fwhm[k] = fwhm * (1 + 0.01 * random.normal());
    table.fwhmError[k] = 0.01 * fwhm;
    table.hfd[k] = 1.1 * table.fwhm[k];
    table.hfdError[k] = 0.01 * table.hfd[k];
    table.beta[k] = 4;
    table.e1[k] = at(options.e1, x, y) + eError * random.normal();
    table.e2[k] = at(options.e2, x, y) + eError * random.normal();
    table.eError[k] = eError;
    table.axis1[k] = table.e1[k];
    table.axis2[k] = table.e2[k];
    table.axisError[k] = eError;
  }
  return table;
}
