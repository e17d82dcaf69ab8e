import type { CauseCode, CauseFinding } from './types.js';

/** A cause that concerns a frame below this confidence is not worth a mention beside it. */
const WORTH_A_MENTION = 0.3;

/** For every file that a finding concerns: its causes with the confidence for that frame, surest first. */
export function causesOfFrames(
  findings: readonly CauseFinding[],
): Map<string, { readonly code: CauseCode; readonly confidence: number }[]> {
  const frames = new Map<string, { code: CauseCode; confidence: number }[]>();
  for (const finding of findings) {
    for (const { file, confidence } of finding.frameConfidence) {
      if (confidence < WORTH_A_MENTION) continue;
      const list = frames.get(file);
      const entry = { code: finding.code, confidence };
      if (list) list.push(entry);
      else frames.set(file, [entry]);
    }
  }
  for (const list of frames.values()) list.sort((a, b) => b.confidence - a.confidence);
  return frames;
}
