/** Peaks as they are found: the first `count` entries of each column; positions 0-based pixels of the plane, flux ADU. */
export interface PeakCollector {
  count: number;
  x: Float64Array;
  y: Float64Array;
  flux: Float64Array;
  snr: Float64Array;
  spikes: number;
}

const FIRST_ROOM = 1024;

/** A collector without peaks. */
export function collectPeaks(): PeakCollector {
  const column = (): Float64Array => new Float64Array(FIRST_ROOM);
  return { count: 0, x: column(), y: column(), flux: column(), snr: column(), spikes: 0 };
}

/** Room for so many more peaks; columns grow to twice their length at least. */
export function makeRoom(found: PeakCollector, more: number): void {
  const wanted = found.count + more;
  if (wanted <= found.x.length) return;
  const room = Math.max(wanted, 2 * found.x.length);
  const grown = (column: Float64Array): Float64Array => {
    const larger = new Float64Array(room);
    larger.set(column);
    return larger;
  };
  found.x = grown(found.x);
  found.y = grown(found.y);
  found.flux = grown(found.flux);
  found.snr = grown(found.snr);
}
