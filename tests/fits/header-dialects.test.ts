import { describe, expect, it } from 'vitest';
import { chooseImage } from '../../src/fits/choose-image.js';
import { readFrameHeader } from '../../src/fits/frame-header.js';
import { openFitsBytes } from '../../src/fits/open-fits.js';
import type { FrameHeader } from '../../src/fits/types.js';
import { derivePlateScale } from '../../src/optics/index.js';
import { headerFrom } from './fits-bytes.js';
import { dialects } from './header-dialects.js';

const mandatory = ['SIMPLE  = T', 'BITPIX  = 16', 'NAXIS   = 2', 'NAXIS1  = 40', 'NAXIS2  = 30'];

function read(cards: readonly string[]): FrameHeader {
  const bytes = Buffer.concat([headerFrom([...mandatory, ...cards]), new Uint8Array(2880)]);
  const file = openFitsBytes('dialect.fits', bytes);
  return readFrameHeader(file, chooseImage(file));
}

/** What could be read, without the bookkeeping and the WCS. */
function known(header: FrameHeader): Record<string, unknown> {
  const entries = Object.entries(header).filter(([, value]) => value !== null);
  return Object.fromEntries(entries.filter(([name]) => !['sources', 'missing', 'wcs'].includes(name)));
}

/** Arcsec per pixel, its source and what disagrees. */
function scale(header: FrameHeader): readonly [number | null, string | null, number] {
  const { scale: found } = derivePlateScale(header);
  return [found && Number(found.arcsecPerPx.toFixed(3)), found?.source ?? null, found?.conflicts.length ?? 0];
}

// Each read by hand beside its cards.
const expected: Readonly<Record<string, readonly [known: object, scale: ReturnType<typeof scale>]>> = {"a desktop program with everything filled in":[{"kind":"light","object":"Veil","filter":"Ha","camera":"Lumen 533","exposureSeconds":120,"gain":100,"offset":10,"electronsPerAdu":0.25,"binning":[1,1],"dateObs":"2026-03-14T22:00:00.123Z","temperatureC":-10.1,"focuserTemperatureC":7.2,"focuserPosition":12345,"pierSide":"east","airmass":1.1,"rotatorDeg":123.4,"raDeg":311.5,"decDeg":43.8,"latitudeDeg":46.2,"longitudeDeg":11.4,"pixelSizeMicron":[3.76,3.76],"focalLengthMm":530,"apertureMm":100,"focalRatio":5.3},[1.463,"focal-length",0]],"zeros, N/A and empty strings for what it does not know, local time with a Z":[{"kind":"unknown","exposureSeconds":120.5,"dateObs":"2026-03-14T20:00:00.000Z"},[null,null,0]],"strings with decimal commas and units":[{"kind":"unknown","exposureSeconds":60.5,"binning":[2,2],"dateObs":"2026-03-14T22:00:00.500Z","temperatureC":-15,"raDeg":311.5,"decDeg":-0.5,"latitudeDeg":46.2,"longitudeDeg":-11.4,"pixelSizeMicron":[4.63,4.63],"focalLengthMm":750},[1.273,"focal-length",1]],"lower-case keywords, tabs, blanks for the T of a date":[{"kind":"unknown","object":"x y","filter":"L","exposureSeconds":30,"dateObs":"2026-03-14T22:00:00.000Z","temperatureC":-5,"pixelSizeMicron":[2.4,2.4],"focalLengthMm":400},[1.238,"focal-length",0]],"numbers that are none":[{"kind":"unknown"},[null,null,0]],"milliseconds, kelvin, metres, millimetres, a date of two digits":[{"kind":"unknown","exposureSeconds":0.5,"dateObs":"2026-03-14T22:00:00.000Z","temperatureC":-5,"pixelSizeMicron":[9,9],"focalLengthMm":530},[3.503,"focal-length",0]],"a professional camera: CCDSUM, two wheels, date and time apart":[{"kind":"light","filter":"B","telescope":"Refractor 530/100","exposureSeconds":300,"binning":[2,2],"dateObs":"2026-03-14T22:00:00.500Z","pixelSizeMicron":[7.52,7.52],"pixelSizeOf":"stored-pixel","focalLengthMm":530},[2.927,"focal-length",0]],"HIERARCH keywords, MJD alone, right ascension in hours":[{"kind":"light","filter":"V#641","exposureSeconds":10,"dateObs":"2021-10-08T12:00:00.000Z","ambientTemperatureC":12.5,"raDeg":311.55,"decDeg":5,"latitudeDeg":-29.25},[null,null,0]],"a dark with next to nothing":[{"kind":"dark","exposureSeconds":300,"temperatureC":-20},[null,null,0]],"a solved frame: CD with SIP beside an old CDELT, focal length of the bare telescope":[{"kind":"unknown","raDeg":311.5,"decDeg":43.8,"pixelSizeMicron":[3.76,3.76],"focalLengthMm":560},[1.463,"wcs",1]],"PC with the axes exchanged":[{"kind":"unknown","scaleKeywordArcsecPerPx":1.44},[1.44,"wcs",0]],"CROTA2, a scale 2 % off, units inside strings":[{"kind":"unknown","binning":[2,2],"raDeg":311.5,"decDeg":43.8,"pixelSizeMicron":[3.76,3.76],"focalLengthMm":530,"scaleKeywordArcsecPerPx":1.47},[1.44,"wcs",1]],"Latin-1 letters and units":[{"kind":"unknown","object":"Béta µ Cep","filter":"Há","exposureSeconds":60,"dateObs":"2026-03-14T22:00:00.000Z","temperatureC":-10,"raDeg":311.5,"decDeg":-0.5,"pixelSizeMicron":[3.76,3.76],"focalLengthMm":530},[1.463,"focal-length",0]],"cards without the blank behind the equals sign":[{"kind":"unknown","filter":"Ha","exposureSeconds":120,"gain":139,"binning":[1,1],"dateObs":"2026-03-14T22:00:00.123Z","temperatureC":-9.8,"pierSide":"west","pixelSizeMicron":[3.8,3.8],"focalLengthMm":700},[1.12,"focal-length",0]],"microseconds as seconds, 60 seconds of arc, f/ in front":[{"kind":"unknown","exposureSeconds":120,"dateObs":"2026-03-04T02:00:00.000Z","temperatureC":-10,"pierSide":"west","raDeg":311.75,"latitudeDeg":46.2,"longitudeDeg":-111.4,"pixelSizeMicron":[3.76,3.76],"focalLengthMm":530,"focalRatio":5.3},[1.463,"focal-length",0]]}; // prettier-ignore

describe('headers of many programs', () => {
  it.each(Object.entries(dialects))('%s', (name, cards) => {
    const header = read(cards);
    expect([known(header), scale(header)]).toEqual(expected[name]);
  });

  it.each(Object.entries(dialects))('%s: a finite value, or null with a reason', (_, cards) => {
    const header = read(cards);
    for (const [field, value] of Object.entries(header)) {
      if (field === 'sources' || field === 'missing') continue;
      const reason = header.missing[field];
      if (value === null || value === 'unknown') expect(reason, field).toMatch(/\w+/);
      else expect(reason, field).toBeUndefined();
      for (const number of [value].flat(3))
        if (typeof number === 'number') expect(Number.isFinite(number)).toBe(true);
    }
  });
});
