import type { NightAssessment } from '../causes/types.js';
import { frameJson, tidyNumbers } from './frame-json.js';

/**
 * The night as the document that `--json` prints: schema `starassay/night@1`. Names are stable; readers must accept further fields.
 *
 * - `frames`: in order of time, see `frameJson`.
 * - `unreadable`: files that gave no figures, with code, message and remedy; `setAside`: calibration frames found on the way.
 * - `groups`: frames compared with each other (target, filter, exposure, gain, binning, camera), with the reference that limits refer to.
 * - `limits`: what the decisions were made with; null = off.
 * - `optics`: the shared optical state of each set-up, from the joint fit of the night.
 * - `night.causes`: what was found, most certain first; `night.notFound`: every other cause, with why it is clear or cannot be told.
 * - `night.history`: what is unusual for this rig, and the spacing by its own sensitivity; absent when it has no history.
 * - `night.whatIf`: sharpness (arcsec, or px without plate scale) and depth of the stack against subs kept.
 */
export function nightJson(night: NightAssessment): Record<string, unknown> {
  const { summary, causes, whatIf, history } = night.night;
  const found = causes
    .filter((cause) => cause.answer === 'found')
    .sort((a, b) => b.confidence - a.confidence);
  return {
    schema: night.schema,
    version: night.version,
    frames: night.frames.map(frameJson),
    night: tidyNumbers({
      summary,
      causes: found.map(({ code, title, confidence, frames, evidence, advice }) => ({
        code,
        title,
        confidence,
        frames,
        evidence,
        advice,
      })),
      notFound: causes
        .filter((cause) => cause.answer !== 'found')
        .map(({ code, title, answer, why }) => ({ code, title, answer, why })),
      whatIf,
      ...(history && { history }),
    }),
    groups: tidyNumbers(night.groups),
    optics: tidyNumbers(night.optics),
    unreadable: night.unreadable,
    setAside: night.setAside,
    warnings: night.warnings,
    limits: night.limits,
  };
}
