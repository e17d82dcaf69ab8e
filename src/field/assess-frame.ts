import { chooseImage, openFits, readFrameHeader, readPlane } from '../fits/index.js';
import type { FrameKind, PixelPlane } from '../fits/types.js';
import { makePreview, measureBackground } from '../image/index.js';
import { createPixelMemory, type PixelMemory } from '../kernels/index.js';
import { derivePlateScale, skyOrientation } from '../optics/index.js';
import { measureStars, selectRegistrationStars, summariseStars } from '../stars/index.js';
import type { StarTable } from '../stars/types.js';
import { describeField } from './describe-field.js';
import type { FrameJob, FrameOptions, FrameOutcome } from './frame-job.js';
import { starShapes } from './star-shapes.js';
import { makeStarAtlas } from './star-atlas.js';
import { trailOnSky } from './trail-on-sky.js';
import type { FrameAssessment, FramePictures, SizeFigure } from './types.js';

/** A frame with its star list, for callers on the same thread. */
export interface MeasuredFrame {
  readonly frame: FrameAssessment;
  readonly table: StarTable;
}

/** Memory of frames that are done, taken again by the next: a worker needs one; where frames overlap on a thread, each has its own. */
const idleMemory: PixelMemory[] = [];

const isCalibration = (kind: FrameKind): boolean => kind === 'dark' || kind === 'flat' || kind === 'bias';

/**
 * Measure one frame from file to FrameAssessment: header, pixels, background, stars, plate scale, pattern over the sensor.
 *
 * @throws FitsFormatError and its kin, naming the file, when it cannot be read; a frame without stars does not throw.
 */
export async function assessFrame(job: FrameJob): Promise<FrameOutcome> {
  const measured = await measureFrame(job);
  return 'outcome' in measured ? measured : { outcome: 'assessed', frame: measured.frame };
}

/** As `assessFrame`, and keeps the star list (see `measure --stars`). */
export async function measureFrame(
  job: FrameJob,
): Promise<MeasuredFrame | Extract<FrameOutcome, { outcome: 'set-aside' }>> {
  const started = performance.now();
  const { options } = job;
  const fits = openFits(job.path);
  const memory = idleMemory.pop() ?? createPixelMemory();
  try {
    const hdu = chooseImage(fits, options.hdu ?? undefined);
    const header = readFrameHeader(fits, hdu);
    if (isCalibration(header.kind) && !options.anyKind)
      return { outcome: 'set-aside', file: job.file, kind: header.kind };

    const plane = readPlane(fits, hdu, { salvage: options.salvage, scratch: memory });
    const background = measureBackground(plane);
    const { table, counts, streaks } = measureStars(plane, background, {
      thorough: options.thorough,
      electronsPerAdu: header.electronsPerAdu,
    });
    const figures = summariseStars(table, plane.width, plane.height);
    const { scale, reason: noScale } = derivePlateScale(header, options.scaleArcsecPerPx ?? undefined);
    const orientation = header.wcs ? skyOrientation(header.wcs) : null;
    const arcsecPerPx = scale?.arcsecPerPx ?? null;
    const inArcsec = (px: number | null): number | null =>
      px === null || arcsecPerPx === null ? null : px * arcsecPerPx;
    const size = (figure: { value: number | null; standardError: number | null }): SizeFigure => ({
      px: figure.value,
      arcsec: inArcsec(figure.value),
      standardError: figure.standardError,
    });

    const frame: FrameAssessment = {
      file: job.file,
      path: job.path,
      fileBytes: fits.size,
      header,
      image: {
        widthPx: plane.width,
        heightPx: plane.height,
        mosaic: plane.mosaic ? plane.mosaic.cell.join('') : null,
        hdu: hdu.index,
        ...(plane.origin ? { origin: plane.origin } : {}),
      },
      scale,
      orientation,
      stars: counts,
      fwhm: size(figures.fwhm),
      hfd: size(figures.hfd),
      elongation: figures.elongation.value,
      elongationError: figures.elongation.standardError,
      beta: figures.beta.value,
      trail: { ...figures.trail, ...trailOnSky(figures.trail, figures.elongation.value, orientation) },
      background: {
        level: finite(background.medianLevel),
        noise: finite(background.medianNoise),
        gradientPercent: background.gradientPercent,
        gradientDirectionDeg: background.gradientDirectionDeg,
      },
      limitingFlux: figures.limitingFlux,
      field: describeField(table, plane.width, plane.height),
      streaks,
      registrationStars: selectRegistrationStars(table),
      ...(options.starShapes ? { starShapes: starShapes(table, plane.width, plane.height) } : {}),
      pictures: await takePictures(options.pictures, plane, background, table),
      warnings: [...fits.warnings, ...(plane.notes ?? []), ...(scale?.conflicts ?? [])],
      unmeasured: {
        ...figures.unmeasured,
        ...(noScale === null ? {} : { scale: noScale, 'fwhm.arcsec': noScale, 'hfd.arcsec': noScale }),
      },
      elapsedMs: performance.now() - started,
    };
    return { frame, table };
  } finally {
    idleMemory.push(memory);
    fits.close();
  }
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

async function takePictures(
  wanted: FrameOptions['pictures'],
  plane: PixelPlane,
  background: ReturnType<typeof measureBackground>,
  table: StarTable,
): Promise<FramePictures> {
  if (wanted === 'none') return { preview: null, atlas: null };
  const preview = await makePreview(plane, background);
  if (wanted === 'preview') return { preview, atlas: null };
  const { atlas, png } = await makeStarAtlas(plane, background, table);
  return { preview, atlas: png, ...(wanted === 'corners' ? { meanStars: atlas } : {}) };
}
