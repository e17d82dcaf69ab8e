export { assessNight, concludeNight, type NightOptions } from './assess-night.js';
export type { CauseCode, CauseFinding, Evidence, NightAssessment } from './causes/types.js';
export { StarassayError, FitsFormatError, UsageError, type ErrorCode, type ErrorRecord } from './errors.js';
export { assessFrame } from './field/frame/index.js';
export { defaultFrameOptions, type FrameJob, type FrameOptions, type FrameOutcome } from './field/index.js';
export type { FieldCell, FieldPattern, FrameAssessment, UnreadableFrame } from './field/types.js';
export type { FrameHeader } from './fits/types.js';
export type { BlurBudget, DecisionLimits, GroupSummary, JudgedFrame, OpticalState } from './night/types.js';
export { version } from './package-root.js';
