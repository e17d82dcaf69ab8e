import type { JudgedFrame } from './types.js';

/** Causes that soften some frames of a night and not others; a tilted sensor softens all alike and explains no single one. */
const SOFTENERS: ReadonlySet<string> = new Set([
  'focus-drift',
  'focus-offset',
  'seeing',
  'guiding-trail',
  'wind-shake',
  'dew',
]);
const SURE = 0.5;
const NAMED = 3;

/**
 * What to think of frames rejected as soft that no cause accounts for: in each, the larger part of its blur by the fit of the field, or that
 * seeing and focus could not be told apart. Plain sentences; none when every soft frame has a cause.
 */
export function unexplainedSoftness(frames: readonly JudgedFrame[]): string[] {
  const soft = frames.filter(
    (frame) =>
      frame.decision === 'reject' &&
      frame.reasons.some(({ code }) => code === 'fwhm' || code === 'hfd') &&
      !frame.causes.some(({ code, confidence }) => SOFTENERS.has(code) && confidence >= SURE),
  );
  const by = new Map<string, JudgedFrame[]>();
  for (const frame of soft) {
    const list = by.get(reasonOf(frame));
    if (list) list.push(frame);
    else by.set(reasonOf(frame), [frame]);
  }
  return [...by].map(([reason, list]) => `Soft without a sure cause: ${names(list)}: ${reason}.`);
}

function reasonOf({ blur }: JudgedFrame): string {
  if (blur?.seeing === undefined || blur.seeing === null || blur.focus === null)
    return 'seeing or focus, which cannot be told apart from these frames';
  const tracking = blur.tracking ?? 0;
  if (tracking > blur.seeing && tracking > blur.focus) return 'the mount, most likely';
  return blur.focus > blur.seeing ? 'focus, most likely' : 'seeing, most likely';
}

function names(list: readonly JudgedFrame[]): string {
  const more = list.length - NAMED;
  const first = list.slice(0, NAMED).map((frame) => frame.file);
  return first.join(', ') + (more > 0 ? ` and ${more} more` : '');
}
