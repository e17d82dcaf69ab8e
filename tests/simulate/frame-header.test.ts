import { describe, expect, it } from 'vitest';
import { frameHeader, saturationAdu } from '../../src/simulate/frame-header.js';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';
import type { ScenarioInput } from '../../src/simulate/scenario.js';
import { placeOnFrame } from '../../src/simulate/star-catalogue.js';

function headers(changes: Partial<ScenarioInput>): Map<string, string | number | boolean>[] {
  const scenario = parseScenario({ name: 'x', frames: 2, ...changes }, 'test');
  return planNight(scenario).map(
    (plan) => new Map(frameHeader(scenario, plan).map(({ keyword, value }) => [keyword, value])),
  );
}

describe('frameHeader', () => {
  it('says what a capture program would: exposure, optics, focus, pointing', () => {
    const [header] = headers({ camera: { binning: 2, pixelMicron: 3.76 } });
    expect(header.get('IMAGETYP')).toBe('LIGHT');
    expect(header.get('DATE-OBS')).toBe('2026-09-12T20:05:00.000');
    expect(header.get('XPIXSZ')).toBe(7.52);
    expect(header.get('XBINNING')).toBe(2);
    expect(header.get('OBJCTRA')).toBe('20 46 00.0');
    expect(header.get('OBJCTDEC')).toBe('+43 48 00.0');
    expect(header.get('PIERSIDE')).toBe('EAST');
    for (const keyword of [
      'EXPTIME',
      'FILTER',
      'GAIN',
      'FOCUSPOS',
      'FOCUSSZ',
      'FOCTEMP',
      'AIRMASS',
      'SITELAT',
    ]) {
      expect(header.has(keyword)).toBe(true);
    }
  });

  it('leaves out what it is told to, and the WCS', () => {
    const [header] = headers({ header: { wcs: false, omit: ['focallen', 'APTDIA'] } });
    for (const keyword of ['FOCALLEN', 'APTDIA', 'CD1_1', 'CRVAL1']) expect(header.has(keyword)).toBe(false);
  });

  it('has a WCS of the right scale, east left of north, that points where the field went', () => {
    const scenario = parseScenario(
      { name: 'x', frames: 2, camera: { angleDeg: 25 }, night: { flipBefore: 2 } },
      'test',
    );
    for (const plan of planNight(scenario)) {
      const header = new Map(
        frameHeader(scenario, plan).map(({ keyword, value }) => [keyword, Number(value)]),
      );
      const [a, b, c, d] = ['CD1_1', 'CD1_2', 'CD2_1', 'CD2_2'].map((keyword) => header.get(keyword)!);
      expect(Math.sqrt(Math.abs(a * d - b * c)) * 3600).toBeCloseTo(plan.arcsecPerPx, 5);
      expect(a * d - b * c).toBeLessThan(0);
      // A star 100 px from the centre must stand at the same place of the sky on both frames: before and after the flip.
      const [x, y] = placeOnFrame(plan.pose, 1000, 700, 100, 0);
      const [dx, dy] = [x - header.get('CRPIX1')!, y - header.get('CRPIX2')!];
      const scale = plan.arcsecPerPx / 3600;
      expect((a * dx + b * dy) / scale).toBeCloseTo(-100 * Math.cos((25 * Math.PI) / 180), 2);
      expect((c * dx + d * dy) / scale).toBeCloseTo(-100 * Math.sin((25 * Math.PI) / 180), 2);
    }
  });
});

describe('saturationAdu', () => {
  it('is the full well or the top of the converter, whichever comes first', () => {
    const of = (camera: object): number => saturationAdu(parseScenario({ name: 'x', camera }, 'test'));
    expect(of({ fullWellElectrons: 10_000, electronsPerAdu: 1, pedestalAdu: 500 })).toBe(10_500);
    expect(of({ fullWellElectrons: 90_000, electronsPerAdu: 1 })).toBe(65_535);
  });
});
