import { z } from 'zod';

/** Frames concerned, 1-based: a list, or a run from the first to the last (both included); left out: all of the night. */
const frames = z
  .union([
    z.array(z.int().min(1)).min(1),
    z.strictObject({ from: z.int().min(1).default(1), to: z.int().min(1).optional() }),
  ])
  .default({ from: 1 });

/** How strength runs over the frames concerned: the same in all, growing from near nothing, or rising and falling again. */
const course = z.enum(['steady', 'growing', 'passing']).default('steady');

/** Direction of motion: along right ascension, along declination, or an angle in the pixel frame. */
const axis = z.union([z.enum(['ra', 'dec']), z.number()]);

const guiding = z.strictObject({
  kind: z.literal('guiding'),
  frames,
  course,
  axis: axis.default('ra'),
  /** Steady drift over one exposure, arcsec. */
  driftArcsec: z.number().min(0).default(0),
  /** Half the swing of the mount's periodic error, arcsec, and its period. */
  periodicArcsec: z.number().min(0).default(0),
  periodSeconds: z.number().positive().default(480),
  /** RMS of fast wandering along the axis, arcsec. */
  jitterArcsec: z.number().min(0).default(0),
  /** A jump in mid-exposure, arcsec: two images of each star. */
  jumpArcsec: z.number().min(0).default(0),
});

const wind = z.strictObject({
  kind: z.literal('wind'),
  frames,
  course,
  /** RMS of the shake along its stronger axis, arcsec; gusts make it vary from frame to frame by `gustiness`. */
  rmsArcsec: z.number().min(0),
  angleDeg: z.number().default(0),
  /** Shake across that axis, as a part of the shake along it. */
  acrossRatio: z.number().min(0).max(1).default(0.4),
  gustiness: z.number().min(0).max(1).default(0.5),
});

const fieldRotation = z.strictObject({
  kind: z.literal('field-rotation'),
  frames,
  course,
  degreesPerHour: z.number(),
  /** Centre of the turn (the guide star), in half-diagonals from the sensor's centre. */
  centreX: z.number().default(0),
  centreY: z.number().default(0),
});

const cloud = z.strictObject({
  kind: z.literal('cloud'),
  frames,
  course: course.default('passing'),
  /** Lowest share of the light that gets through. */
  transparency: z.number().min(0).max(1),
  /** Unevenness over the frame, as a part of the loss. */
  patchiness: z.number().min(0).max(1).default(0.1),
  /** Brightening of the sky by lit cloud, per unit of light lost. */
  glow: z.number().min(0).default(0.5),
});

const dew = z.strictObject({
  kind: z.literal('dew'),
  frames,
  course: course.default('growing'),
  /** Largest share of the light lost. */
  loss: z.number().min(0).max(0.95),
  /** Share of what is left that goes into a wide halo at that moment. */
  halo: z.number().min(0).max(0.9).default(0.2),
  /** Width of the halo in seeing widths. */
  haloWidth: z.number().min(1).default(8),
});

const brightSky = z.strictObject({
  kind: z.literal('bright-sky'),
  frames,
  course,
  /** Sky level as a multiple of the dark sky's. */
  factor: z.number().min(1),
  gradientPercent: z.number().min(0).default(10),
  gradientDirectionDeg: z.number().default(45),
});

const streak = z.strictObject({
  kind: z.literal('streak'),
  frames,
  course,
  angleDeg: z.number().default(30),
  /** Electrons per pixel of trail length. */
  electronsPerPx: z.number().positive().default(600),
  count: z.int().min(1).default(1),
  /** Ends inside the frame at this part of its length; 1 crosses the whole frame. */
  lengthFraction: z.number().min(0.05).max(1).default(1),
});

const badSeeing = z.strictObject({
  kind: z.literal('seeing'),
  frames,
  course,
  /** Multiple of the night's seeing. */
  factor: z.number().positive(),
});

const focusOffset = z.strictObject({
  kind: z.literal('focus-offset'),
  frames,
  course,
  micron: z.number(),
});

/** Something that goes wrong in some frames of the night. */
export const faultSchema = z.discriminatedUnion('kind', [
  guiding,
  wind,
  fieldRotation,
  cloud,
  dew,
  brightSky,
  streak,
  badSeeing,
  focusOffset,
]);
export type Fault = z.infer<typeof faultSchema>;
export type FaultOf<K extends Fault['kind']> = Extract<Fault, { kind: K }>;

/** The frames (1-based, ascending) a fault concerns in a night of `frameCount`. */
export function faultFrames(fault: Fault, frameCount: number): readonly number[] {
  if (Array.isArray(fault.frames)) return fault.frames.filter((n) => n <= frameCount).sort((a, b) => a - b);
  const list: number[] = [];
  for (let n = fault.frames.from; n <= Math.min(frameCount, fault.frames.to ?? frameCount); n++) list.push(n);
  return list;
}

/** Strength 0..1 of a fault in one frame (1-based): 0 where it is not concerned. */
export function faultStrength(fault: Fault, frame: number, frameCount: number): number {
  const concerned = faultFrames(fault, frameCount);
  const place = concerned.indexOf(frame);
  if (place < 0) return 0;
  if (fault.course === 'growing') return (place + 1) / concerned.length;
  if (fault.course === 'passing') return Math.sin((Math.PI * (place + 1)) / (concerned.length + 1));
  return 1;
}
