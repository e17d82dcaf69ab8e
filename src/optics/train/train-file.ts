import { parse as parseYaml } from 'yaml';
import { z } from 'zod';
import { UsageError } from '../../errors.js';
import { parseJointEnd } from './train-threads.js';
import type { JointEnd, JointStandard } from './train-threads.js';

/** A plane-parallel glass in the light path. */
export interface Glass {
  readonly thicknessMm: number;
  readonly index: number;
}

/** What a part is: decides how it may be used and what is checked. */
export type PartKind = 'part' | 'spacer' | 'shim' | 'draw-tube' | 'filter';

/** One part of the train, or one piece of the box of spacers; lengths along the axis. */
export interface TrainPart {
  readonly name: string;
  readonly kind: PartKind;
  /** Length that the part adds to the optical path, mm. */
  readonly lengthMm: number;
  /** End towards the telescope, end towards the camera; null when the file does not say. */
  readonly front: JointEnd | null;
  readonly rear: JointEnd | null;
  readonly clearApertureMm: number | null;
  readonly glass: Glass | null;
  /** Range over which a draw tube can be set, mm of optical path. */
  readonly rangeMm: readonly [number, number] | null;
  /** How far a draw tube is out, and its full travel, mm. */
  readonly extendedMm: number | null;
  readonly travelMm: number | null;
  readonly massGram: number | null;
  /** May the advice take it out? Spacers, shims and parts marked so. */
  readonly removable: boolean;
  /** How many of it lie in the box. */
  readonly count: number;
}

/** An imaging train from the corrector's reference face to the sensor. */
export interface Train {
  readonly name: string;
  readonly corrector: {
    readonly name: string;
    /** Distance that its maker asks for, from its reference face to the sensor, mm, and the tolerance. */
    readonly requiredMm: number;
    readonly toleranceMm: number;
    readonly toleranceGiven: boolean;
    readonly rear: JointEnd | null;
    readonly clearApertureMm: number | null;
    readonly focalRatio: number | null;
    readonly exitPupilMm: number | null;
  };
  readonly parts: readonly TrainPart[];
  readonly camera: {
    readonly name: string;
    readonly sensorDepthMm: number;
    readonly front: JointEnd | null;
    readonly clearApertureMm: number | null;
    readonly sensorWidthMm: number | null;
    readonly sensorHeightMm: number | null;
    readonly window: Glass | null;
    readonly massGram: number | null;
  };
  readonly box: readonly TrainPart[];
}

/** Tolerance assumed when the file gives none, mm (common practice, no source). */
export const USUAL_TOLERANCE_MM = 0.5;
/** Index of a filter glass when none is given: borosilicate crown, n_d. */
export const USUAL_INDEX = 1.5168;

const length = z.number().finite();
const positive = z.number().finite().positive();
const glassShape = z.strictObject({ thicknessMm: positive, index: z.number().min(1).max(4).optional() });
const partShape = z.strictObject({
  name: z.string().min(1),
  kind: z.enum(['part', 'spacer', 'shim', 'draw-tube', 'filter']).optional(),
  lengthMm: length.min(0).max(2000),
  front: z.string().optional(),
  rear: z.string().optional(),
  clearApertureMm: positive.optional(),
  filter: glassShape.optional(),
  minMm: length.min(0).optional(),
  maxMm: length.min(0).optional(),
  extendedMm: length.min(0).optional(),
  travelMm: positive.optional(),
  massGram: z.number().min(0).optional(),
  removable: z.boolean().optional(),
  count: z.number().int().min(1).max(50).optional(),
});
const trainShape = z.strictObject({
  name: z.string().optional(),
  corrector: z.strictObject({
    name: z.string().optional(),
    requiredMm: positive.max(2000),
    toleranceMm: positive.optional(),
    rear: z.string().optional(),
    clearApertureMm: positive.optional(),
    focalRatio: positive.max(100).optional(),
    exitPupilMm: positive.optional(),
  }),
  parts: z.array(partShape).optional(),
  camera: z.strictObject({
    name: z.string().optional(),
    sensorDepthMm: length.min(0).max(500),
    front: z.string().optional(),
    clearApertureMm: positive.optional(),
    sensorWidthMm: positive.optional(),
    sensorHeightMm: positive.optional(),
    window: glassShape.optional(),
    massGram: z.number().min(0).optional(),
  }),
  box: z.array(partShape).optional(),
  threads: z
    .array(
      z.strictObject({
        name: z.string().min(1),
        kind: z.enum(['thread', 'barrel', 'bayonet']).optional(),
        diameterMm: positive,
        pitchMm: positive.optional(),
        source: z.string().optional(),
      }),
    )
    .optional(),
});

const REMEDY = '`starassay train --example` prints a complete file to start from.';

/**
 * Read a train file (YAML or JSON; all lengths in mm) into a Train with its joints understood.
 *
 * @param text content of the file
 * @param file its name, for messages
 * @throws UsageError naming the entry, what is wrong with it and what to write instead
 */
export function parseTrain(text: string, file: string): Train {
  let raw: unknown;
  try {
    raw = parseYaml(text, { maxAliasCount: 20 });
  } catch (error) {
    const reason = error instanceof Error ? error.message.split('\n')[0]! : String(error);
    throw new UsageError(`${file}: not a YAML or JSON document: ${reason}`, REMEDY, file);
  }
  if (raw === null || typeof raw !== 'object' || Array.isArray(raw)) {
    throw new UsageError(
      `${file}: an imaging train is a list of named entries (corrector, parts, camera), this is not`,
      REMEDY,
      file,
    );
  }
  const read = trainShape.safeParse(raw);
  if (!read.success) {
    const problems = read.error.issues
      .slice(0, 5)
      .map((issue) => `${placeText(issue.path)}: ${issueText(issue)}`);
    throw new UsageError(`${file}: ${problems.join('; ')}`, REMEDY, file);
  }
  return buildTrain(read.data, file);
}

function placeText(path: readonly PropertyKey[]): string {
  if (path.length === 0) return 'top level';
  return path.map((step) => (typeof step === 'number' ? `no. ${step + 1}` : String(step))).join(' > ');
}

function issueText(issue: z.core.$ZodIssue): string {
  if (issue.code === 'unrecognized_keys')
    return `unknown entry ${issue.keys.map((k) => `"${k}"`).join(', ')}`;
  if (issue.code === 'invalid_type' && /received undefined/.test(issue.message)) return 'is missing';
  if (issue.code === 'invalid_type' && issue.expected === 'number')
    return 'a number is wanted (mm, without unit)';
  if (issue.code === 'too_small' && issue.origin === 'number')
    return issue.inclusive ? `must be at least ${issue.minimum}` : `must be more than ${issue.minimum}`;
  if (issue.code === 'too_big' && issue.origin === 'number')
    return `must be at most ${issue.maximum}: is the unit mm?`;
  return issue.message.replace(/^Invalid input: /, '');
}

type RawTrain = z.infer<typeof trainShape>;

function buildTrain(raw: RawTrain, file: string): Train {
  const extra: JointStandard[] = (raw.threads ?? []).map((thread) => ({
    name: thread.name,
    kind: thread.kind ?? (thread.pitchMm === undefined ? 'barrel' : 'thread'),
    diameterMm: thread.diameterMm,
    pitchMm: thread.pitchMm ?? null,
    aliases: [],
    note: thread.source ?? 'from the train file',
  }));
  const joint = (text: string | undefined, where: string): JointEnd | null => {
    if (text === undefined) return null;
    const end = parseJointEnd(text, extra);
    if (end !== null) return end;
    throw new UsageError(
      `${file}: ${where}: "${text}" is no joint that I know`,
      'Write for example "M48x0.75 female", "T thread male" or "2-inch barrel"; `starassay train --threads` lists them, and a `threads` list in the file adds your own.',
      file,
    );
  };
  const part = (entry: z.infer<typeof partShape>, where: string, inBox: boolean): TrainPart => {
    const kind = entry.kind ?? (inBox ? 'spacer' : 'part');
    if (kind === 'filter' && entry.filter === undefined) {
      throw new UsageError(
        `${file}: ${where}: a filter needs its glass`,
        'Add for example `filter: {thicknessMm: 2}` (index 1.5168 unless given).',
        file,
      );
    }
    const range =
      kind === 'draw-tube' ? ([entry.minMm ?? entry.lengthMm, entry.maxMm ?? entry.lengthMm] as const) : null;
    if (range !== null && (range[1] < range[0] || entry.lengthMm < range[0] || entry.lengthMm > range[1])) {
      throw new UsageError(`${file}: ${where}: lengthMm must lie between minMm and maxMm`, REMEDY, file);
    }
    return {
      name: entry.name,
      kind,
      lengthMm: entry.lengthMm,
      front: joint(entry.front, `${where} > front`),
      rear: joint(entry.rear, `${where} > rear`),
      clearApertureMm: entry.clearApertureMm ?? null,
      glass: glass(entry.filter),
      rangeMm: range,
      extendedMm: entry.extendedMm ?? null,
      travelMm: entry.travelMm ?? null,
      massGram: entry.massGram ?? null,
      removable: entry.removable ?? (kind === 'spacer' || kind === 'shim'),
      count: entry.count ?? 1,
    };
  };
  const { corrector, camera } = raw;
  return {
    name: raw.name ?? 'imaging train',
    corrector: {
      name: corrector.name ?? 'corrector',
      requiredMm: corrector.requiredMm,
      toleranceMm: corrector.toleranceMm ?? USUAL_TOLERANCE_MM,
      toleranceGiven: corrector.toleranceMm !== undefined,
      rear: joint(corrector.rear, 'corrector > rear'),
      clearApertureMm: corrector.clearApertureMm ?? null,
      focalRatio: corrector.focalRatio ?? null,
      exitPupilMm: corrector.exitPupilMm ?? null,
    },
    parts: (raw.parts ?? []).map((entry, i) => part(entry, `parts > no. ${i + 1} (${entry.name})`, false)),
    camera: {
      name: camera.name ?? 'camera',
      sensorDepthMm: camera.sensorDepthMm,
      front: joint(camera.front, 'camera > front'),
      clearApertureMm: camera.clearApertureMm ?? null,
      sensorWidthMm: camera.sensorWidthMm ?? null,
      sensorHeightMm: camera.sensorHeightMm ?? null,
      window: glass(camera.window),
      massGram: camera.massGram ?? null,
    },
    box: (raw.box ?? []).map((entry, i) => part(entry, `box > no. ${i + 1} (${entry.name})`, true)),
  };
}

function glass(raw: z.infer<typeof glassShape> | undefined): Glass | null {
  return raw === undefined ? null : { thicknessMm: raw.thicknessMm, index: raw.index ?? USUAL_INDEX };
}
