import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { matchedFilter } from '../../src/image/matched-filter.js';
import { isSpike } from './is-spike.js';
import { medianInPlace } from '../../src/stats/index.js';
import { place } from './in-memory.js';

interface Peak {
  readonly column: number;
  readonly row: number;
  readonly dx: number;
  readonly dy: number;
  readonly flux: number;
  readonly snr: number;
  readonly ringSnr: number;
  readonly ringLevel: number;
}

interface Case {
  readonly data: Uint16Array | Float32Array;
  readonly width: number;
  readonly height: number;
  /** Every 8 columns. */
  readonly levels: readonly number[];
  readonly noise: number;
  readonly quiet: number;
  readonly fwhm: number;
  readonly threshold: number;
  readonly spikeRatio: number;
}

const LOOK = 2.8;
const SPIKE_ABOVE = 5;

/** By plain loops in doubles. */
function plainSearch(c: Case): { readonly peaks: Peak[]; readonly spikes: number } {
  const { data, width, height } = c;
  const filter = matchedFilter(c.fwhm);
  const [sum, squares] = filter.subarray(25);
  const noise = c.noise * c.quiet;
  const peaks: Peak[] = [];
  let spikes = 0;
  const isMaximum = (k: number): boolean =>
    [-width - 1, -width, -width + 1, -1].every((step) => data[k] >= data[k + step]) &&
    [1, width - 1, width, width + 1].every((step) => data[k] > data[k + step]);
  const spikesHere = (k: number, level: number): boolean =>
    c.spikeRatio > 0 &&
    data[k] > level + SPIKE_ABOVE * c.noise &&
    isSpike(data, width, k, level, c.noise, c.spikeRatio, false);
  for (let row = 3; row < height - 3; row += 1) {
    for (let column = 3; column < width - 3; column += 1) {
      const k = row * width + column;
      const v = data[k];
      const level = c.levels[Math.floor(column / 8)];
      if (!(v > level + LOOK * noise) || !isMaximum(k)) continue;
      if (!spikesHere(k, level)) {
        take(row, column, level);
        continue;
      }
      spikes += 1;
      data[k] = level;
      for (let j = row - 1; j <= row + 1; j += 1) {
        for (let i = column - 1; i <= column + 1; i += 1) {
          if (j < 3 || j >= height - 3 || i < 3 || i >= width - 3 || (j === row && i === column)) continue;
          const near = j * width + i;
          if (data[near] > level + SPIKE_ABOVE * c.noise && isMaximum(near) && !spikesHere(near, level))
            take(j, i, level);
        }
      }
      data[k] = v;
    }
  }
  return { peaks, spikes };

  function take(row: number, column: number, level: number): void {
    const k = row * width + column;
    const v = data[k];
    let light = 0;
    const ring: number[] = [];
    for (let j = -3; j <= 3; j += 1) {
      for (let i = -3; i <= 3; i += 1) {
        const value = data[k + j * width + i];
        if (Math.max(Math.abs(i), Math.abs(j)) === 3) ring.push(value);
        else light += filter[5 * (j + 2) + i + 2] * (value - level);
      }
    }
    const snr = light / (Math.sqrt(squares) * noise);
    if (!(snr > c.threshold)) return;
    const around = medianInPlace(Float64Array.from(ring)) - level;
    const top = (a: number, b: number): number => {
      const bend = 2 * v - a - b;
      return bend > 0 ? Math.max(-0.5, Math.min(0.5, (b - a) / (2 * bend))) : 0;
    };
    peaks.push({
      column,
      row,
      dx: top(data[k - 1], data[k + 1]),
      dy: top(data[k - width], data[k + width]),
      flux: (light * sum) / squares,
      snr,
      ringSnr: (light - Math.max(0, around) * sum) / (Math.sqrt(squares) * noise),
      ringLevel: around / noise,
    });
  }
}

function kernelSearch(c: Case): { readonly peaks: Peak[]; readonly spikes: number } {
  const { kernels, area, address, isFloat } = place(c.data);
  const runs = c.levels.length;
  const level = area.floats(runs);
  const noise = area.floats(runs);
  level.view.set(c.levels);
  noise.view.fill(c.noise);
  const limits = area.bytes(4 * runs + 16);
  kernels.limitLine(level.address, noise.address, runs, LOOK * c.quiet, isFloat, limits.address);
  const filter = area.floats(27);
  filter.view.set(matchedFilter(c.fwhm));
  const out = area.floats(4 + 8 * c.data.length);
  const count = kernels.searchRows(
    address + 3 * c.width * c.data.BYTES_PER_ELEMENT,
    isFloat,
    c.width,
    c.width,
    3,
    c.height - 6,
    level.address,
    noise.address,
    limits.address,
    filter.address,
    c.quiet,
    c.threshold,
    c.spikeRatio,
    SPIKE_ABOVE,
    out.address,
  );
  const spikes = new Int32Array(kernels.memory.buffer, out.address, 1)[0];
  const peaks = Array.from({ length: count }, (_, n) => {
    const [column, row, dx, dy, flux, snr, ringSnr, ringLevel] = out.view.subarray(4 + 8 * n, 12 + 8 * n);
    return { column, row, dx, dy, flux, snr, ringSnr, ringLevel };
  });
  return { peaks, spikes };
}

describe('search for peaks in rows', () => {
  it('is that of plain loops', () => {
    const cases = fc.integer({ min: 7, max: 75 }).chain((width) =>
      fc.record({
        width: fc.constant(width),
        height: fc.constant(13),
        // Few values, so that plateaus are common; some high ones.
        data: fc
          .tuple(
            fc.boolean(),
            fc.array(
              fc.oneof(
                { weight: 12, arbitrary: fc.integer({ min: 90, max: 110 }) },
                fc.constantFrom(140, 900),
              ),
              {
                minLength: 13 * width,
                maxLength: 13 * width,
              },
            ),
          )
          .map(([isFloat, values]) => (isFloat ? Float32Array.from(values) : Uint16Array.from(values))),
        levels: fc.array(fc.integer({ min: 95, max: 105 }), { minLength: 10, maxLength: 10 }),
        // Odd, so that no value stands on a limit, where doubles and floats may differ.
        noise: fc.constantFrom(3.137, 6.271),
        quiet: fc.constantFrom(1, 0.5),
        fwhm: fc.constantFrom(1.31, 2.17),
        threshold: fc.constantFrom(3.0123, 8.0717),
        spikeRatio: fc.constantFrom(0, 0.2113),
      }),
    );
    fc.assert(
      fc.property(cases, (c) => {
        const plain = plainSearch(c);
        const ours = kernelSearch(c);
        expect(ours.spikes).toBe(plain.spikes);
        expect(ours.peaks.map((p) => [p.column, p.row])).toEqual(plain.peaks.map((p) => [p.column, p.row]));
        ours.peaks.forEach((peak, n) => {
          for (const [what, value] of Object.entries(peak)) {
            const truth = plain.peaks[n][what as keyof Peak];
            // Sums of 25 floats of some hundreds.
            expect(Math.abs(value - truth)).toBeLessThan(1e-3 + 1e-5 * Math.abs(truth));
          }
        });
      }),
    );
  });

  it('finds a star whose top lies beside a hot pixel', () => {
    const star = (k: number): number =>
      400 * Math.exp((-4 * Math.LN2 * (((k % 15) - 7) ** 2 + (Math.floor(k / 15) - 7) ** 2)) / 2.2 ** 2);
    const data = Uint16Array.from({ length: 225 }, (_, k) => Math.round(100 + star(k)));
    data[7 * 15 + 8] = 9000;
    const { peaks, spikes } = kernelSearch({
      ...{ data, width: 15, height: 15, levels: [100, 100], noise: 4, quiet: 1, fwhm: 2.2, threshold: 5 },
      spikeRatio: 0.28,
    });
    expect(spikes).toBe(1);
    expect(peaks.map(({ column, row }) => [column, row])).toEqual([[7, 7]]);
    expect(data[7 * 15 + 8]).toBe(9000);
  });

  it('sees through light that is everywhere, and places a peak between blocks', () => {
    const fwhm = 2.2;
    const star = (k: number): number =>
      Math.exp((-4 * Math.LN2 * (((k % 15) - 7.3) ** 2 + (Math.floor(k / 15) - 6.8) ** 2)) / fwhm ** 2);
    const data = Float32Array.from({ length: 225 }, (_, k) => 130 + 400 * star(k));
    const common = {
      width: 15,
      height: 15,
      levels: [100, 100],
      noise: 4,
      quiet: 1,
      threshold: 5,
      spikeRatio: 0,
    };
    const [peak] = kernelSearch({ ...common, data, fwhm }).peaks;
    expect([peak.column, peak.row]).toEqual([7, 7]);
    expect(peak.dx).toBeGreaterThan(0.1);
    expect(peak.dy).toBeLessThan(-0.05);
    expect(peak.ringLevel).toBeCloseTo(30 / 4, 0);
    // The sky map is 30 too low all over the filter: sum(w) / sqrt(sum(w^2)) is about 3.3 for this width.
    expect((peak.snr - peak.ringSnr) / (7.6 * 3.33)).toBeCloseTo(1, 1);
  });
});
