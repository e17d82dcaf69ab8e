import { resolve } from 'node:path';
import { causesOfFrames, findCauses, type NightAssessment } from './causes/index.js';
import { defaultFrameOptions, type FrameOptions } from './field/index.js';
import type { FrameAssessment } from './field/types.js';
import {
  applyOverrides,
  defaultLimits,
  findLightFrames,
  fitNight,
  judgeNight,
  readDecisions,
  summariseNight,
  whatIf,
} from './night/index.js';
import type { DecisionLimits, InwardCounts } from './night/types.js';
import { assessFrames, type AssessedFrames, type FrameMemory, type FramesProgress } from './pool/index.js';
import type { RigHistory } from './rig/types.js';
import { decideByHistory, historyVerdict } from './rig/verdict/index.js';
import { version } from './package-root.js';

/** How to assess a night; everything has a default. */
export interface NightOptions {
  /** Folder that relative paths are relative to; default: the process's own. */
  readonly cwd?: string;
  readonly limits?: Partial<DecisionLimits>;
  readonly frame?: Partial<FrameOptions>;
  /** Threads; default: as many as cores and memory allow; 0 = on the calling thread. */
  readonly threads?: number;
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: FramesProgress) => void;
  readonly memory?: FrameMemory;
  /** A person's own decisions, by the frame's name in the night; they win over the limits. Default: those kept beside the frames. */
  readonly overrides?: ReadonlyMap<string, 'keep' | 'reject'>;
  /** Which focuser counts move the sensor inwards; default: not said, the smaller ones assumed. */
  readonly inward?: InwardCounts;
  /** What the history of the rig that took these frames knows; default: nothing. */
  readonly history?: (frames: readonly FrameAssessment[]) => RigHistory | null;
}

/**
 * The main job: measure every light frame under the paths, group, register, decide, and say what is wrong with the rig.
 *
 * @param paths files and folders (searched in depth) of FITS frames
 * @throws UsageError when a path does not exist or holds no FITS file; the signal's reason when aborted.
 *   A file that cannot be read does not throw: it is listed in `unreadable`.
 */
export async function assessNight(
  paths: readonly string[],
  options: NightOptions = {},
): Promise<NightAssessment> {
  const passedOver: string[] = [];
  const found = await findLightFrames(paths, options.cwd ?? resolve(), (text) => void passedOver.push(text));
  const measured = await assessFrames(found, {
    frame: { ...defaultFrameOptions, ...options.frame },
    threads: options.threads ?? null,
    signal: options.signal ?? null,
    onProgress: options.onProgress ?? null,
    memory: options.memory ?? null,
  });
  const night = concludeNight(
    measured,
    { ...defaultLimits, ...options.limits },
    options.overrides ?? readDecisions(found),
    options.history?.(measured.frames) ?? null,
    options.inward ?? null,
  );
  return { ...night, warnings: [...passedOver, ...night.warnings] };
}

/** Everything after the pixels: from measured frames to the NightAssessment. Pure arithmetic on records. */
export function concludeNight(
  measured: AssessedFrames,
  limits: DecisionLimits,
  overrides: ReadonlyMap<string, 'keep' | 'reject'> = new Map(),
  history: RigHistory | null = null,
  inward: InwardCounts | null = null,
): NightAssessment {
  const alone = judgeNight(measured.frames, limits);
  const inView = history === null ? alone : decideByHistory(alone, history.normals, limits);
  const judged = applyOverrides(inView, overrides);
  const fit = fitNight(judged.frames, inward);
  const explained = judged.frames.map((frame, i) => ({ ...frame, blur: fit.blur[i] ?? null }));
  const findings = findCauses({ frames: explained, groups: judged.groups, optics: fit.optics, limits });
  const frameCauses = causesOfFrames(findings);
  const frames = explained.map((frame) => ({ ...frame, causes: frameCauses.get(frame.file) ?? [] }));
  const night: NightAssessment = {
    schema: 'starassay/night@1',
    version,
    frames,
    unreadable: measured.unreadable,
    setAside: measured.setAside,
    groups: judged.groups,
    optics: fit.optics,
    night: {
      summary: summariseNight(frames, judged.groups, measured.unreadable.length),
      causes: findings,
      whatIf: whatIf(frames),
    },
    warnings: judged.warnings,
    limits,
  };
  if (history === null) return night;
  return { ...night, night: { ...night.night, history: historyVerdict(night, history) } };
}
