import type { FrameAssessment } from '../field/types.js';
import type { DecisionLimits, DecisionReason } from './types.js';

/** The figures of a group that its frames are held against. */
export interface GroupReference {
  readonly frames: number;
  readonly fwhmPx: number | null;
  readonly hfdPx: number | null;
  readonly weight: number | null;
}

/** What is known of a frame beyond its own assessment when it is decided upon. */
export interface FrameStanding {
  readonly transparency: number | null;
  readonly weight: number | null;
}

export interface Decision {
  readonly decision: 'keep' | 'reject';
  readonly reasons: readonly DecisionReason[];
}

/**
 * Decides on one frame by the limits; each reason carries the value and the limit it broke. A kept frame names the figure that
 * came closest to its limit.
 *
 * A figure that is missing breaks no limit, with one exception: without FWHM and half-flux diameter, or with fewer good stars than
 * `minStars`, there is nothing to tell a good frame by, and it is rejected as `too-few-stars`.
 * Sizes are given in arcseconds where the plate scale is known, else in pixels.
 */
export function decide(
  frame: FrameAssessment,
  standing: FrameStanding,
  reference: GroupReference,
  limits: DecisionLimits,
): Decision {
  const tooFew = judgeStars(frame, limits);
  if (tooFew) return { decision: 'reject', reasons: [tooFew] };
  const checks = [
    ...sizeChecks(frame, reference, limits),
    elongationCheck(frame, limits),
    transparencyCheck(standing, limits),
    weightCheck(standing, reference, limits),
  ].filter((check) => check !== null);
  const broken = checks.filter((check) => check.excess > 1).sort((a, b) => b.excess - a.excess);
  if (broken.length > 0) return { decision: 'reject', reasons: broken.map((check) => check.reason) };
  const nearest = checks.reduce<Check | null>(
    (best, check) => (best === null || check.excess > best.excess ? check : best),
    null,
  );
  return { decision: 'keep', reasons: nearest ? [nearest.reason] : [] };
}

/** A figure held against its limit; `excess` > 1: beyond it. */
interface Check {
  readonly excess: number;
  readonly reason: DecisionReason;
}

function judgeStars(frame: FrameAssessment, limits: DecisionLimits): DecisionReason | null {
  const measured = frame.stars.measured;
  const sized = frame.fwhm.px !== null || frame.hfd.px !== null;
  if (measured >= limits.minStars && sized) return null;
  const stars = `${measured} star${measured === 1 ? '' : 's'}`;
  // Arcs, a night without focus, a closed shutter's hot pixels: things are there, stars are not.
  const shapeless = measured >= limits.minStars && !sized ? 'no point source among them; ' : '';
  const why = frame.unmeasured['fwhm'] ?? stars;
  return {
    code: 'too-few-stars',
    message:
      measured < limits.minStars
        ? `too few stars to tell: ${stars}, at least ${limits.minStars} needed`
        : why.startsWith('too few stars')
          ? `${shapeless}${why}`
          : `too few stars to tell: no star width could be measured (${why})`,
    value: measured,
    limit: limits.minStars,
  };
}

function sizeChecks(
  frame: FrameAssessment,
  reference: GroupReference,
  limits: DecisionLimits,
): (Check | null)[] {
  const checks: (Check | null)[] = [];
  const scale = frame.scale?.arcsecPerPx ?? null;
  const show = (px: number): { value: number; text: string } =>
    scale === null
      ? { value: px, text: `${px.toFixed(2)} px` }
      : { value: px * scale, text: `${(px * scale).toFixed(2)}"` };
  const fwhm = frame.fwhm.px;
  // A ring of a star far out of focus has no peak to fit: its half-flux diameter stands in.
  const [code, name, px, referencePx] =
    fwhm !== null
      ? (['fwhm', 'FWHM', fwhm, reference.fwhmPx] as const)
      : (['hfd', 'HFD', frame.hfd.px, reference.hfdPx] as const);
  if (limits.fwhmFactor !== null && px !== null && referencePx !== null && reference.frames > 1) {
    const limit = show(referencePx * limits.fwhmFactor);
    const excess = px / (referencePx * limits.fwhmFactor);
    checks.push({
      excess,
      reason: {
        code,
        message:
          `${name} ${show(px).text} ${relation(excess, 'over', 'within')} ${limits.fwhmFactor} x the group's ${show(referencePx).text}` +
          ` (limit ${limit.text})`,
        value: show(px).value,
        limit: limit.value,
      },
    });
  }
  if (limits.fwhmArcsec !== null && px !== null && scale !== null) {
    const excess = (px * scale) / limits.fwhmArcsec;
    checks.push({
      excess,
      reason: {
        code,
        message: `${name} ${besideLimit(px * scale, limits.fwhmArcsec)}" ${relation(excess, 'over', 'within')} the limit ${limits.fwhmArcsec}"`,
        value: px * scale,
        limit: limits.fwhmArcsec,
      },
    });
  }
  return checks;
}

function elongationCheck(frame: FrameAssessment, limits: DecisionLimits): Check | null {
  const value = frame.elongation;
  if (value === null || limits.elongation === null) return null;
  // Elongation starts at 1: nearness to the limit is measured from there.
  const excess = limits.elongation > 1 ? (value - 1) / (limits.elongation - 1) : value / limits.elongation;
  return {
    excess,
    reason: {
      code: 'elongation',
      message: `elongation ${besideLimit(value, limits.elongation)} ${relation(excess, 'over', 'within')} the limit ${limits.elongation}`,
      value,
      limit: limits.elongation,
    },
  };
}

function transparencyCheck({ transparency: value }: FrameStanding, limits: DecisionLimits): Check | null {
  if (value === null || limits.transparency === null) return null;
  const excess = limits.transparency / value;
  return {
    excess,
    reason: {
      code: 'transparency',
      message: `transparency ${besideLimit(value, limits.transparency)} ${relation(excess, 'under', 'above')} the limit ${limits.transparency}`,
      value,
      limit: limits.transparency,
    },
  };
}

function weightCheck(
  { weight: value }: FrameStanding,
  reference: GroupReference,
  limits: DecisionLimits,
): Check | null {
  if (value === null || limits.weight === null || reference.weight === null || reference.frames < 2)
    return null;
  const limit = limits.weight * reference.weight;
  // Weight is a square: its root is comparable with the other figures.
  const excess = Math.sqrt(limit / value);
  return {
    excess,
    reason: {
      code: 'weight',
      message:
        `weight ${value.toFixed(2)} ${relation(excess, 'under', 'above')} ${limits.weight} x the group's ${reference.weight.toFixed(2)}` +
        ` (limit ${limit.toFixed(2)})`,
      value,
      limit,
    },
  };
}

/** Two decimals, or as many as show on which side of the limit the value lies. */
function besideLimit(value: number, limit: number): string {
  for (let digits = 2; digits < 6; digits++) {
    const text = value.toFixed(digits);
    if (value === limit || Number(text) !== limit) return text;
  }
  return String(value);
}

function relation(excess: number, beyond: string, within: string): string {
  return excess > 1 ? `is ${beyond}` : `is ${within}`;
}
