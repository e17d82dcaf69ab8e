const HOUR = 3_600_000;

/**
 * Evening date (YYYY-MM-DD) of an exposure: the local solar date twelve hours earlier, so that a night keeps one date.
 *
 * `dateObs`: ISO 8601 UTC; `longitudeDeg`: east positive; null counts as Greenwich. Null for a date that can't be read.
 */
export function nightDate(dateObs: string | null, longitudeDeg: number | null): string | null {
  const time = dateObs === null ? NaN : Date.parse(dateObs);
  if (Number.isNaN(time)) return null;
  return new Date(time + ((longitudeDeg ?? 0) / 15 - 12) * HOUR).toISOString().slice(0, 10);
}

/**
 * Evening dates of the frames of one recording, in their order.
 *
 * Without a longitude the noon of Greenwich can fall into the night; frames less than four hours apart then share the earlier
 * date. Null where there is no time.
 */
export function nightDates(
  frames: readonly { readonly dateObs: string | null; readonly longitudeDeg: number | null }[],
): (string | null)[] {
  const dates = frames.map((frame) => nightDate(frame.dateObs, frame.longitudeDeg));
  const order = frames
    .map((frame, index) => ({
      index,
      time: Date.parse(frame.dateObs ?? ''),
      located: frame.longitudeDeg !== null,
    }))
    .filter((entry) => !Number.isNaN(entry.time))
    .sort((a, b) => a.time - b.time);
  for (let i = 1; i < order.length; i++) {
    const [previous, next] = [order[i - 1], order[i]];
    if (!previous.located && !next.located && next.time - previous.time < 4 * HOUR) {
      dates[next.index] = dates[previous.index];
    }
  }
  return dates;
}
