import { z } from 'zod';
import { UsageError } from '../errors.js';

const sweepDocument = z.object({
  schema: z.literal('starassay/sweep@1'),
  spacing: z.object({ errorMm: z.number().nullable() }),
});
const ladderDocument = z.object({
  schema: z.literal('starassay/ladder@1'),
  bestSpacingMm: z.number().nullable(),
});

/** Farthest that a spacing error makes sense, mm. */
const MOST_MM = 500;

/** The spacing error that a document means, mm (positive: sensor too far away), and where it comes from in words. */
export interface MeasuredSpacing {
  readonly errorMm: number;
  readonly source: string;
}

/** A number of mm as text; null when it is none, so that it names a file. Throws UsageError for one beyond all sense. */
export function measuredMm(text: string): number | null {
  const value = Number(text.trim().replace(/^−/, '-').replace(',', '.').replace(/mm$/i, ''));
  if (text.trim() === '' || !Number.isFinite(value)) return null;
  if (Math.abs(value) > MOST_MM)
    throw new UsageError(
      `--measured ${text}: a spacing error of ${value} mm makes no sense`,
      'Give the error in mm, for example -0.8 (sensor 0.8 mm too close).',
    );
  return value;
}

/**
 * The spacing error in a saved document: of a sweep as it stands there; of a ladder the distance of the train from the best spacing.
 *
 * @param content text of a `sweep --json` or `ladder --json` document, `file` its name
 * @param atMm spacing of the train in the ladder's count; null = the train's own length
 * @throws UsageError when it is no such document, or one that measured no spacing
 */
export function measuredFromDocument(
  content: string,
  file: string,
  atMm: number | null,
  trainMm: number,
): MeasuredSpacing {
  let raw: unknown = null;
  try {
    raw = JSON.parse(content);
  } catch {
    // No JSON is no document either: the same words as for JSON of another kind.
  }
  const sweep = sweepDocument.safeParse(raw);
  if (sweep.success) {
    const { errorMm } = sweep.data.spacing;
    if (errorMm !== null) return { errorMm, source: `sweep ${file}` };
    throw new UsageError(
      `${file}: this sweep knows no spacing error in mm: it had no sensitivity of the rig`,
      'Sweep again with --rig NAME or --sensitivity N (from a ladder), or give the error in mm.',
      file,
    );
  }
  const ladder = ladderDocument.safeParse(raw);
  if (!ladder.success)
    throw new UsageError(
      `--measured ${file}: neither a number of mm nor a saved sweep or ladder`,
      'Give mm (-0.8: sensor 0.8 mm too close), or a file of `starassay ladder ... --json` or `starassay sweep ... --json`.',
      file,
    );
  const best = ladder.data.bestSpacingMm;
  if (best === null)
    throw new UsageError(
      `${file}: this ladder found no best spacing`,
      'Its advice says what is missing.',
      file,
    );
  const here = atMm ?? trainMm;
  const errorMm = Math.round((here - best) * 1000) / 1000;
  const counted = atMm === null ? `the train’s own ${here.toFixed(2)} mm` : `${here} mm`;
  return { errorMm, source: `ladder ${file}: ${counted} against the best ${best.toFixed(2)} mm` };
}
