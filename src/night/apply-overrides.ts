import type { JudgedNight } from './judge-night.js';

/**
 * Puts a person's own decisions over those of the limits: the reason `overruled` comes first, the measured ones stay for the record,
 * and the groups' counts follow. Files that are not in the night are passed over.
 *
 * @param overrides night's name of a frame -> decision.
 */
export function applyOverrides(
  night: JudgedNight,
  overrides: ReadonlyMap<string, 'keep' | 'reject'>,
): JudgedNight {
  const frames = night.frames.map((frame) => {
    const decision = overrides.get(frame.file);
    if (decision === undefined || decision === frame.decision) return frame;
    const reason = {
      code: 'overruled' as const,
      message: `${decision === 'keep' ? 'kept' : 'rejected'} by your own decision`,
      value: null,
      limit: null,
    };
    return { ...frame, decision, reasons: [reason, ...frame.reasons] };
  });
  const groups = night.groups.map((group) => ({
    ...group,
    kept: frames.filter((frame) => frame.group === group.name && frame.decision === 'keep').length,
  }));
  return { ...night, frames, groups };
}
