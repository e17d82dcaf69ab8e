import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { assessFrame, measureFrame } from '../../src/field/assess-frame.js';
import { defaultFrameOptions } from '../../src/field/frame-job.js';
import { sampleNight } from '../cli/run-command.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-assess-frame-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const file = 'heron-field_L_120s_001.fits';
const job = { path: join(sampleNight, file), file, options: defaultFrameOptions };
interface Truth {
  readonly frames: readonly {
    readonly file: string;
    readonly fwhm: { readonly px: number };
    readonly background: { readonly level: number };
  }[];
}
const truth = (JSON.parse(readFileSync(join(sampleNight, 'truth.json'), 'utf8')) as Truth).frames.find(
  (frame) => frame.file === file,
)!;

describe('one frame from file to figures', () => {
  it('is measured as the truth of the sample says', async () => {
    const outcome = await assessFrame(job);
    if (outcome.outcome !== 'assessed') throw new Error('set aside');
    // 1 %: what the measurement of clean frames is held to elsewhere.
    expect(Math.abs(outcome.frame.fwhm.px! / truth.fwhm.px - 1)).toBeLessThan(0.01);
    expect(Math.abs(outcome.frame.background.level! / truth.background.level - 1)).toBeLessThan(0.003);
    expect(outcome.frame.fwhm.arcsec).toBeCloseTo(
      outcome.frame.fwhm.px! * outcome.frame.scale!.arcsecPerPx,
      9,
    );
    expect(outcome.frame.pictures).toEqual({ preview: null, atlas: null });
  });

  it('takes the plate scale that it is given', async () => {
    const outcome = await assessFrame({ ...job, options: { ...job.options, scaleArcsecPerPx: 2 } });
    if (outcome.outcome !== 'assessed') throw new Error('set aside');
    expect(outcome.frame.scale).toMatchObject({ arcsecPerPx: 2, source: 'option' });
  });

  it('keeps the star list for callers on the same thread', async () => {
    const measured = await measureFrame(job);
    if ('outcome' in measured) throw new Error('set aside');
    expect(measured.table.count).toBeGreaterThanOrEqual(measured.frame.stars.measured);
  });

  it('sets a dark aside, unless every kind is wanted', async () => {
    const bytes = readFileSync(job.path);
    bytes.write("'DARK    '", bytes.indexOf("'LIGHT"), 'latin1');
    const path = join(folder, 'dark.fits');
    writeFileSync(path, bytes);
    const dark = { ...job, path, file: 'dark.fits' };
    expect(await assessFrame(dark)).toEqual({ outcome: 'set-aside', file: 'dark.fits', kind: 'dark' });
    expect(await assessFrame({ ...dark, options: { ...job.options, anyKind: true } })).toMatchObject({
      outcome: 'assessed',
    });
  });

  it('gives nulls with reasons for a frame without stars', async () => {
    const bytes = readFileSync(job.path);
    bytes.fill(0, 2880 * Math.ceil((bytes.indexOf('END     ') + 1) / 2880));
    const path = join(folder, 'blank.fits');
    writeFileSync(path, bytes);
    const outcome = await assessFrame({ ...job, path, file: 'blank.fits' });
    if (outcome.outcome !== 'assessed') throw new Error('set aside');
    expect(outcome.frame.fwhm.px).toBeNull();
    expect(outcome.frame.unmeasured['fwhm']).toMatch(/\w/);
  });
});
