import { RIG_CAUTIONS } from '../optics/index.js';
import type { Evidence } from './types.js';

/** What a cause found in the frames of one camera set-up. */
export interface SetupFinding {
  readonly confidence: number;
  readonly frames: readonly string[];
  readonly evidence: readonly Evidence[];
  readonly advice: string;
}

/** Set-ups told in full; of more, only the frames are named. */
const TOLD = 3;

/**
 * One answer for a night in which several camera set-ups show the same cause: each with its own evidence and advice, surest first, said of
 * which frames; what one rig did says nothing about another. One set-up alone stays as it is.
 *
 * @param found at least one
 */
export function tellSetups(found: readonly SetupFinding[]): Pick<SetupFinding, 'evidence' | 'advice'> {
  if (found.length === 1) return { evidence: found[0].evidence, advice: found[0].advice };
  const surest = [...found].sort((a, b) => b.confidence - a.confidence);
  const told = surest.slice(0, TOLD);
  const evidence = told.flatMap((setup) =>
    setup.evidence.map((entry) => ({ ...entry, what: `${nameOf(setup)}: ${entry.what}` })),
  );
  const advice = told.map((setup) => `${nameOf(setup)}: ${withoutCautions(setup.advice)}`);
  const untold = surest.slice(TOLD);
  if (untold.length > 0)
    advice.push(`Further set-ups show it too (${untold.map(nameOf).join('; ')}): assess each by itself.`);
  if (told.some((setup) => setup.advice.includes(RIG_CAUTIONS))) advice.push(RIG_CAUTIONS);
  return { evidence, advice: advice.join(' ') };
}

function nameOf({ frames }: SetupFinding): string {
  return frames.length > 1 ? `${frames[0]} and ${frames.length - 1} more of its set-up` : frames[0];
}

/** Cautions hold for every set-up: said once, at the end. */
function withoutCautions(advice: string): string {
  return advice.replace(RIG_CAUTIONS, '').trim();
}
