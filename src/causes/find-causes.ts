import { nightSeries } from './night-series.js';
import { causes } from './registry.js';
import type { CauseFinding, NightFigures } from './types.js';

/**
 * Ask every cause about a night: what was found, what is clear, what cannot be told, surest first.
 *
 * A cause whose needs are not met answers 'cannot-tell' with the reason and is never asked. No frames: all 'cannot-tell'.
 */
export function findCauses(figures: NightFigures): CauseFinding[] {
  const night = nightSeries(figures);
  const findings = causes.map((cause): CauseFinding => {
    const { code, title } = cause.meta;
    const silent = { code, title, confidence: 0, frames: [], frameConfidence: [], evidence: [], advice: '' };
    const missing = night.facts.length === 0 ? 'no frame was measured' : cause.needs(night);
    if (missing !== null) return { ...silent, answer: 'cannot-tell', why: missing };
    const answer = cause.judge(night);
    if (answer.answer !== 'found') return { ...silent, answer: answer.answer, why: answer.why };
    const frameConfidence = answer.frames.map((f) => ({ file: f.file, confidence: round(f.confidence) }));
    return {
      code,
      title,
      answer: 'found',
      confidence: round(answer.confidence),
      frames: frameConfidence.map((f) => f.file),
      frameConfidence,
      evidence: answer.evidence,
      advice: answer.advice,
      why: '',
    };
  });
  // Stable: equal confidences keep the order of the vocabulary.
  return findings.sort((a, b) => b.confidence - a.confidence);
}

/** Nothing is certain, and a third digit of a confidence says nothing. */
function round(confidence: number): number {
  return Math.min(0.99, Math.round(100 * confidence) / 100);
}
