import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { chooseImage } from '../../src/fits/choose-image.js';
import { readFrameHeader } from '../../src/fits/frame-header.js';
import { openFits, openFitsBytes } from '../../src/fits/open-fits.js';
import type { FrameHeader } from '../../src/fits/types.js';
import { fitsBytes } from './fits-bytes.js';

function read(cards: Record<string, string>): FrameHeader {
  const file = openFitsBytes('f.fits', fitsBytes({ cards }));
  return readFrameHeader(file, file.hdus[0]!);
}

describe('readFrameHeader', () => {
  it('reads what a capture program writes', () => {
    const header = read({
      IMAGETYP: "'LIGHT'", OBJECT: "'Test Field'", FILTER: "'Ha'", EXPTIME: '300', GAIN: '100', OFFSET: '30', EGAIN: '0.77',
      XBINNING: '2', YBINNING: '2', 'DATE-OBS': "'2024-03-01T21:04:05.678'", 'CCD-TEMP': '-10.0', AMBTEMP: '4.5', FOCTEMP: '5.1', FOCUSPOS: '12345',
      FOCUSSZ: '4.0', PIERSIDE: "'East'", CENTALT: '55.5', CENTAZ: '120', AIRMASS: '1.21', ROTATANG: '91.2', OBJCTRA: "'05 35 17'",
      OBJCTDEC: "'-05 23 28'", SITELAT: "'47 30 00'", SITELONG: "'8 30 00'", SITEELEV: '450', XPIXSZ: '7.52', YPIXSZ: '7.52', FOCALLEN: '530',
      APTDIA: '106', FOCRATIO: '5', INSTRUME: "'Camera One'", TELESCOP: "'Tube One'", RDNOISE: '1.5',
    }); // prettier-ignore
    expect(header).toMatchObject({
      kind: 'light', object: 'Test Field', filter: 'Ha', exposureSeconds: 300, gain: 100, offset: 30, electronsPerAdu: 0.77, binning: [2, 2],
      dateObs: '2024-03-01T21:04:05.678Z', temperatureC: -10, ambientTemperatureC: 4.5, focuserTemperatureC: 5.1, focuserPosition: 12345,
      focuserMicronPerStep: 4, pierSide: 'east', altitudeDeg: 55.5, azimuthDeg: 120, airmass: 1.21, rotatorDeg: 91.2, latitudeDeg: 47.5,
      longitudeDeg: 8.5, elevationMetre: 450, pixelSizeMicron: [7.52, 7.52], focalLengthMm: 530, apertureMm: 106, focalRatio: 5,
      camera: 'Camera One', telescope: 'Tube One', readNoiseElectrons: 1.5,
    }); // prettier-ignore
    expect(header.raDeg).toBeCloseTo(15 * (5 + 35 / 60 + 17 / 3600), 9);
    expect(header.decDeg).toBeCloseTo(-(5 + 23 / 60 + 28 / 3600), 9);
    expect(header.sources).toMatchObject({
      exposureSeconds: 'EXPTIME',
      raDeg: 'OBJCTRA',
      temperatureC: 'CCD-TEMP',
    });
  });

  it('gives null with a reason for all that is missing, and guesses nothing', () => {
    const header = read({});
    const { kind, sources, missing, ...values } = header;
    expect(kind).toBe('unknown');
    expect(sources).toEqual({});
    for (const [field, value] of Object.entries(values)) {
      expect(value).toBeNull();
      expect(missing[field]).toMatch(/\S/);
    }
  });

  it('takes the pointing from the WCS, both coordinates or none', () => {
    const wcs = {
      CTYPE1: "'RA---TAN'",
      CTYPE2: "'DEC--TAN'",
      CD1_1: '-0.001',
      CD2_2: '0.001',
      CRVAL1: '83.8',
      CRVAL2: '-5.4',
    };
    expect(read(wcs)).toMatchObject({ raDeg: 83.8, decDeg: -5.4 });
    expect(read({ ...wcs, RA: '10' })).toMatchObject({ raDeg: 83.8, decDeg: -5.4 });
    expect(read({ ...wcs, RA: '10', DEC: '20' })).toMatchObject({ raDeg: 10, decDeg: 20 });
  });
});

const shared = fileURLToPath(new URL('../../../shared/reference/', import.meta.url));
const here = existsSync(shared);
const real = (name: string): FrameHeader => {
  const file = openFits(shared + name);
  try {
    return readFrameHeader(file, chooseImage(file));
  } finally {
    file.close();
  }
};

describe.skipIf(!here)(
  here ? 'headers of real frames' : 'the shared reference data are not here: no real headers to read',
  () => {
    it('date and time in two cards, kelvin, filter as a number, gain in e-/ADU', () => {
      expect(real('sequence/AKB13475I0001.fits.gz')).toMatchObject({
        kind: 'light', dateObs: '2013-06-27T23:13:12.000Z', filter: '58', electronsPerAdu: 1.9, readNoiseElectrons: 5, airmass: 1.023,
      }); // prettier-ignore
    });

    it('an illegal date is null with the reason, the rest is read', () => {
      const header = real('real/ystar_saao_streak.fits');
      expect(header.dateObs).toBeNull();
      expect(header.missing.dateObs).toMatch(/26\/07\/102/);
      expect(header).toMatchObject({ exposureSeconds: 60, filter: 'R', temperatureC: -17, decDeg: 0 });
    });

    it('an extension with its exposure in the primary header', () => {
      expect(real('real/lco_1m_raw_mef_4amp.fits.gz')).toMatchObject({
        kind: 'light', exposureSeconds: 94.975, filter: 'w', binning: [2, 2], elevationMetre: 2030, scaleKeywordArcsecPerPx: 0.778,
      }); // prettier-ignore
    });
  },
);
