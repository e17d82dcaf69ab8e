import { median } from 'simple-statistics';
import type { JudgedNight } from '../../night/index.js';
import type { DecisionLimits, JudgedFrame } from '../../night/types.js';
import type { RigNormals } from '../types.js';
import { airmassOf, atZenith } from '../zenith.js';

/**
 * Rejects the soft frames of a group that has no good half: one whose very reference, brought to the zenith, is softer than is
 * normal for the rig. A group with a usual reference is left to its own judgement.
 *
 * The limit is the upper end of the rig's normal FWHM at the zenith, or `fwhmFactor` times its median where that is more, brought
 * down to the frame's altitude. Nothing changes while the limit on FWHM is off, without a normal FWHM, without plate scale or altitude.
 */
export function decideByHistory(
  judged: JudgedNight,
  normals: RigNormals,
  limits: DecisionLimits,
): JudgedNight {
  const normal = normals.figures['fwhm-zenith'];
  if (!normal || limits.fwhmFactor === null) return judged;
  const limit = Math.max(normal.high, limits.fwhmFactor * normal.median);
  const soft = new Set(
    judged.groups.filter((group) => isSoft(group.name, judged, limit)).map((group) => group.name),
  );
  if (soft.size === 0) return judged;
  const frames = judged.frames.map((frame) => {
    const airmass = airmassOf(frame.header);
    const fwhm = frame.fwhm.arcsec;
    if (!soft.has(frame.group) || airmass === null || fwhm === null || atZenith(fwhm, airmass) <= limit)
      return frame;
    const here = limit / atZenith(1, airmass);
    const reason = {
      code: 'fwhm' as const,
      message: `FWHM ${fwhm.toFixed(2)}" is over the ${here.toFixed(2)}" that this rig usually keeps to (${normal.nights} nights), and the group has no better half`,
      value: fwhm,
      limit: here,
    };
    const others = frame.decision === 'reject' ? frame.reasons : [];
    return { ...frame, decision: 'reject' as const, reasons: [...others, reason] };
  });
  const kept = (name: string) =>
    frames.filter((frame) => frame.group === name && frame.decision === 'keep').length;
  return {
    ...judged,
    frames,
    groups: judged.groups.map((group) => ({ ...group, kept: kept(group.name) })),
  };
}

function isSoft(group: string, { frames, groups }: JudgedNight, limit: number): boolean {
  const reference = groups.find(({ name }) => name === group)?.reference.fwhmArcsec ?? null;
  const airmasses = frames.flatMap((frame: JudgedFrame) =>
    frame.group === group ? (airmassOf(frame.header) ?? []) : [],
  );
  return reference !== null && airmasses.length > 0 && atZenith(reference, median(airmasses)) > limit;
}
