import type { FitFrame } from './joint-fit-data.js';
import type { FrameParameters } from './joint-fit-model.js';
import type { InwardCounts, JudgedFrame, OpticalDetail } from './types.js';

/** Which way round the fitted focus runs: +1 as fitted, -1 reversed, and how it was learnt. */
export interface FocusSign {
  readonly sign: 1 | -1;
  readonly source: OpticalDetail['signSource'];
  /** Size of the witness in its own errors. */
  readonly significance: number;
}

/** A witness below this many errors does not count. */
const ENOUGH = 3;

/**
 * Stars look the same on both sides of focus, so the fit leaves one global sign open. Two witnesses can settle it:
 * a focuser that moved (a larger position moves the sensor outwards, so z falls, unless `inward` says that it is the other way round), or a tube that shrank while cooling
 * with the focuser at rest (the sensor moves in, so z grows; common practice: tubes shrink, and few rigs overcompensate).
 *
 * @param own the fitted frames, with their focus errors; @param all every frame, which `frames` index.
 * Without a witness the sign is 'none' and left as it is.
 */
export function focusSign(
  frames: readonly FitFrame[],
  own: readonly FrameParameters[],
  errors: readonly number[],
  all: readonly JudgedFrame[],
  inward: InwardCounts | null = null,
): FocusSign {
  const moves: { by: number; answer: number; error: number }[] = [];
  const runs = new Map<string, { temperature: number; focus: number; error: number }[]>();
  for (let k = 0; k < frames.length; k++) {
    const header = all[frames[k].index].header;
    const temperature = header.focuserTemperatureC ?? header.ambientTemperatureC;
    if (temperature !== null) {
      const key = `${header.focuserPosition ?? ''}|${header.filter ?? ''}`;
      const run = runs.get(key);
      const point = { temperature, focus: own[k].focus, error: errors[k] };
      if (run) run.push(point);
      else runs.set(key, [point]);
    }
    if (k === 0) continue;
    const before = all[frames[k - 1].index].header;
    if (header.focuserPosition === null || before.focuserPosition === null) continue;
    if (header.filter !== before.filter) continue;
    const by = header.focuserPosition - before.focuserPosition;
    if (by === 0) continue;
    moves.push({ by, answer: own[k].focus - own[k - 1].focus, error: Math.hypot(errors[k], errors[k - 1]) });
  }
  const outward = inward === 'positive' ? -1 : 1;
  const focuser = pull(moves.map((m) => ({ x: -outward * m.by, y: m.answer, error: m.error })));
  if (Math.abs(focuser) >= ENOUGH) {
    return {
      sign: focuser > 0 ? 1 : -1,
      source: inward === null ? 'focuser' : 'focuser-said',
      significance: Math.abs(focuser),
    };
  }
  const points = [...runs.values()].flatMap((run) => {
    if (run.length < 3) return [];
    const meanT = run.reduce((sum, p) => sum + p.temperature, 0) / run.length;
    const meanZ = run.reduce((sum, p) => sum + p.focus, 0) / run.length;
    return run.map((p) => ({ x: meanT - p.temperature, y: p.focus - meanZ, error: p.error }));
  });
  const cooling = pull(points);
  if (Math.abs(cooling) >= ENOUGH) {
    return { sign: cooling > 0 ? 1 : -1, source: 'cooling', significance: Math.abs(cooling) };
  }
  return { sign: 1, source: 'none', significance: Math.max(Math.abs(focuser), Math.abs(cooling)) };
}

/** Slope of y on x through the origin in units of its error, errors raised to the scatter found. */
function pull(points: readonly { readonly x: number; readonly y: number; readonly error: number }[]): number {
  let xx = 0;
  let xy = 0;
  for (const p of points) {
    const weight = 1 / (p.error * p.error + 1e-12);
    xx += weight * p.x * p.x;
    xy += weight * p.x * p.y;
  }
  if (!(xx > 0)) return 0;
  const slope = xy / xx;
  let chi2 = 0;
  for (const p of points) chi2 += (p.y - slope * p.x) ** 2 / (p.error * p.error + 1e-12);
  const inflate = points.length > 2 ? Math.max(1, chi2 / (points.length - 1)) : 1;
  return (slope * Math.sqrt(xx)) / Math.sqrt(inflate);
}
