import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { assessNight } from '../../src/assess-night.js';
import type { NightAssessment } from '../../src/causes/types.js';

// Real exposures (see the inventory beside them): 25 frames of one field over weeks from a 1 m telescope, whose headers give sky level
// and 1 - min/max of the star image by an independent program; a 60 s frame crossed by a streak; a star-trail arc.
const sequence = fileURLToPath(new URL('../../../shared/reference/sequence', import.meta.url));
const real = fileURLToPath(new URL('../../../shared/reference/real', import.meta.url));
const here = existsSync(sequence) && existsSync(real);

const of = (night: NightAssessment, file: string, code: string): number =>
  night.frames.find((f) => f.file.includes(file))?.causes.find((c) => c.code === code)?.confidence ?? 0;
const trailed = (night: NightAssessment, file: string): number =>
  Math.max(of(night, file, 'guiding-trail'), of(night, file, 'wind-shake'));

describe.skipIf(!here)(
  here
    ? 'causes on real frames'
    : 'causes on real frames (skipped: the reference data is not beside the project)',
  () => {
    it('names trails, bright sky and cloud in the sequence', async () => {
      const night = await assessNight([sequence], { threads: 0 });
      // Strongest ellipticity in the headers: PFWHME 0.29 to 0.39 (others down to 0.02).
      for (const file of ['I0078', 'I0092', 'I0099', 'I0174'])
        expect(trailed(night, file)).toBeGreaterThan(0.8);
      // PBKGRND of 7731 and 4237 ADU where the darkest have 550.
      for (const file of ['I0071', 'I0092']) expect(of(night, file, 'bright-sky')).toBeGreaterThan(0.8);
      // Relative flux 0.42 to 0.49 a second where the best have 1.27.
      for (const file of ['I0005', 'I0013', 'I0028']) expect(of(night, file, 'cloud')).toBeGreaterThan(0.8);
      for (const file of ['I0054', 'I0101']) expect(of(night, file, 'cloud')).toBeLessThan(0.5);
      // The stars are one-sided, but each frame in its own direction (8 to 174 degrees apart): the mount's doing, not the optics'.
      expect(night.night.causes.find((c) => c.code === 'decentred-optics')?.confidence).toBeLessThan(0.5);
      // The joint fit accounts for the patterns (aim: 90 %).
      expect(night.optics[0].explainedVariance).toBeGreaterThan(0.9);
    }, 120_000);

    it('sees the streak and the trailed stars of the same frame', async () => {
      const night = await assessNight([`${real}/ystar_saao_streak.fits`], { threads: 0 });
      expect(of(night, 'streak', 'streak')).toBeGreaterThan(0.8);
      expect(trailed(night, 'streak')).toBeGreaterThan(0.5);
    });

    it('tells the axis that the stars have, each rig apart, and only of trailed frames', async () => {
      const night = await assessNight([`${real}/mosaic`], { threads: 0 });
      const guiding = night.night.causes.find((c) => c.code === 'guiding-trail')!;
      expect(guiding.frames.map((f) => f.replace(/^.*\//, '')).sort()).toEqual([
        'pole.fits',
        'solved.fits.fz',
      ]);
      // Frame by frame the axis of `measure`, which no fit shares with the optics.
      for (const frame of night.frames.filter((f) => guiding.frames.includes(f.file))) {
        const axis = guiding.evidence.find(
          (e) => e.what === `${frame.file}: axis of the trail in the pixel frame`,
        )!;
        expect(Math.abs(axis.value - frame.trail.angleDeg!)).toBeLessThan(1);
      }
      expect(guiding.advice).toMatch(/solved\.fits\.fz: The trail runs along right ascension/);
    }, 60_000);

    it('is not sure of a mount by an elongation of 1.1 along the rows of stars 1.3 px wide', async () => {
      const night = await assessNight([`${real}/wide`], { threads: 0 });
      for (const { fwhm, elongation } of night.frames) {
        expect(fwhm.px!).toBeLessThan(1.5);
        expect(elongation!).toBeLessThan(1.15);
      }
      for (const file of ['wide-1', 'wide-2']) expect(trailed(night, file)).toBeLessThan(0.5);
    }, 60_000);

    it('claims nothing about arcs without a point source', async () => {
      const night = await assessNight([`${real}/mosaic/rotation.fits`], { threads: 0 });
      expect(night.night.causes.filter((c) => c.confidence >= 0.5)).toEqual([]);
      expect(night.frames[0].unmeasured.fwhm ?? night.frames[0].unmeasured['fwhm.px']).toBeTruthy();
    });
  },
);
