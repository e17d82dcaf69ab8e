import { cameraSetups } from '../night/index.js';
import { calibrated, carryingFrames, carryingSetups } from './confidence.js';
import { nightSeries, type NightSeries } from './night-series.js';
import { causes } from './registry.js';
import { tellSetups } from './several-setups.js';
import type { Cause, CauseFinding, NightFigures } from './types.js';

/**
 * Ask every cause about a night: what was found, what is clear, what cannot be told, surest first.
 *
 * Frames of different camera set-ups are asked about apart: what one rig did says nothing about another. A cause whose needs are not met
 * answers 'cannot-tell' with the reason and is never asked. No frames: all 'cannot-tell'.
 */
export function findCauses(figures: NightFigures): CauseFinding[] {
  const parts = cameraSetups(figures.frames)
    .map((indices) => indices.map((i) => figures.frames[i]))
    .sort((a, b) => b.length - a.length)
    .map((frames) => nightSeries({ ...figures, frames, optics: opticsOf(figures, frames) }));
  const findings = causes.map((cause): Asked => {
    const answers = (parts.length > 0 ? parts : [nightSeries(figures)]).map((part) => ask(cause, part));
    // A set-up's doubtful finding is not told under the head of a sure one.
    const found = carryingSetups(answers.filter((a) => a.answer === 'found'));
    // The surest set-up stands for the night; the frames of all are named, each set-up with its own evidence.
    const best =
      found.length > 0
        ? found.reduce((a, b) => (b.confidence > a.confidence ? b : a))
        : (answers.find((a) => a.answer === 'clear') ?? answers[0]);
    const frameConfidence = found.flatMap((a) => a.frameConfidence);
    const told = found.length > 1 ? tellSetups(found) : {};
    return { ...best, ...told, frames: frameConfidence.map((f) => f.file), frameConfidence };
  });
  // Of those that are as good as certain the one that does most harm stands first; equal ones keep the order of the vocabulary.
  return findings
    .map((finding) => ({ ...finding, confidence: round(finding.confidence) }))
    .sort((a, b) => surety(b) - surety(a) || b.effect - a.effect)
    .map(({ effect: _, ...finding }) => finding);
}

function opticsOf(figures: NightFigures, frames: NightFigures['frames']): NightFigures['optics'] {
  const files = new Set(frames.map((frame) => frame.file));
  return figures.optics.filter((optics) => optics.detail.frames.some((frame) => files.has(frame.file)));
}

/** From here on a finding is as good as certain: calibration tells such confidences apart no better. */
const CERTAIN = 0.95;

function surety(finding: Asked): number {
  return Math.min(CERTAIN, finding.confidence);
}

type Asked = CauseFinding & { readonly effect: number };

function ask(cause: Cause, night: NightSeries): Asked {
  const { code, title } = cause.meta;
  const silent = {
    code,
    title,
    confidence: 0,
    effect: 0,
    frames: [],
    frameConfidence: [],
    evidence: [],
    advice: '',
  };
  const missing = night.facts.length === 0 ? 'no frame was measured' : cause.needs(night);
  if (missing !== null) return { ...silent, answer: 'cannot-tell', why: missing };
  const answer = cause.judge(night);
  if (answer.answer !== 'found') return { ...silent, answer: answer.answer, why: answer.why };
  const confidence = calibrated(answer.confidence);
  if (confidence < WORTH_SAYING)
    return { ...silent, answer: 'clear', why: 'signs of it are no stronger than in nights without it' };
  const frameConfidence = carryingFrames(answer.frames, answer.confidence).map((f) => ({
    file: f.file,
    confidence: round(calibrated(f.confidence)),
  }));
  return {
    code,
    title,
    answer: 'found',
    confidence,
    effect: answer.effect,
    frames: frameConfidence.map((f) => f.file),
    frameConfidence,
    evidence: answer.evidence,
    advice: answer.advice,
    why: '',
  };
}

/** Findings below this are none. */
const WORTH_SAYING = 0.05;
/** Nothing is certain, and a third digit of a confidence says nothing. */
function round(confidence: number): number {
  return Math.min(0.99, Math.round(100 * confidence) / 100);
}
