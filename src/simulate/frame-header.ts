import { version } from '../package-root.js';
import type { FramePlan } from './plan-night.js';
import type { Scenario } from './scenario.js';
import { topAdu } from './sensor.js';
import type { HeaderCard, HeaderValue } from './write-fits.js';

/** Header cards of a simulated light frame, after the mandatory ones; keywords in `header.omit` are left out. */
export function frameHeader(scenario: Scenario, plan: FramePlan): readonly HeaderCard[] {
  const { camera, telescope, site, target } = scenario;
  const pitch = camera.pixelMicron * camera.binning;
  const cards: HeaderCard[] = [];
  const put = (keyword: string, value: HeaderValue, comment: string): void => {
    cards.push({ keyword, value, comment });
  };
  put('IMAGETYP', 'LIGHT', 'type of exposure');
  put('OBJECT', target.name, 'target');
  put('FILTER', plan.filter.name, 'filter');
  put('EXPTIME', plan.exposureSeconds, '[s] exposure time');
  put('DATE-OBS', isoTime(plan.start), 'UTC start of exposure');
  put('INSTRUME', camera.name, 'camera (invented)');
  put('TELESCOP', telescope.name, 'telescope (invented)');
  put('FOCALLEN', telescope.focalLengthMm, '[mm] focal length');
  put('APTDIA', telescope.apertureMm, '[mm] aperture diameter');
  put('XPIXSZ', rounded(pitch, 4), '[um] pitch of a stored pixel, x');
  put('YPIXSZ', rounded(pitch, 4), '[um] pitch of a stored pixel, y');
  put('XBINNING', camera.binning, 'binning in x');
  put('YBINNING', camera.binning, 'binning in y');
  put('GAIN', camera.gainSetting, 'camera gain setting');
  put('OFFSET', camera.offsetSetting, 'camera offset setting');
  put('EGAIN', camera.electronsPerAdu, '[e-/ADU] electrons per ADU');
  put('RDNOISE', camera.readNoiseElectrons, '[e-] read noise');
  put('SATURATE', saturationAdu(scenario), '[ADU] values at and above are clipped');
  put('CCD-TEMP', camera.temperatureC, '[degC] sensor temperature');
  if (camera.mosaic) put('BAYERPAT', camera.mosaic, 'colour mosaic, first row stored first');
  put('FOCUSPOS', plan.focuserStep, '[step] focuser position, larger is outwards');
  put('FOCUSSZ', telescope.focuserMicronPerStep, '[um] focuser travel per step');
  put('FOCTEMP', rounded(plan.airTemperatureC, 2), '[degC] temperature at the focuser');
  put('AMBTEMP', rounded(plan.airTemperatureC, 1), '[degC] air temperature');
  put('PIERSIDE', plan.pierSide.toUpperCase(), 'side of the pier the telescope is on');
  put('AIRMASS', rounded(Math.min(plan.pointing.airmass, 40), 4), 'airmass at mid exposure');
  put('OBJCTALT', rounded(plan.pointing.altitudeDeg, 4), '[deg] altitude of the target');
  put('OBJCTAZ', rounded(plan.pointing.azimuthDeg, 4), '[deg] azimuth of the target');
  put('OBJCTRA', sexagesimal(target.raDeg / 15, false), '[h m s] right ascension of the target');
  put('OBJCTDEC', sexagesimal(target.decDeg, true), '[d m s] declination of the target');
  put('RA', rounded(target.raDeg, 6), '[deg] right ascension of the target');
  put('DEC', rounded(target.decDeg, 6), '[deg] declination of the target');
  put('SITELAT', site.latitudeDeg, '[deg] latitude of the site');
  put('SITELONG', site.longitudeDeg, '[deg] longitude of the site, east positive');
  put('SITEELEV', site.elevationMetre, '[m] elevation of the site');
  put('OBSERVAT', site.name, 'site (invented)');
  if (scenario.header.wcs) cards.push(...wcsCards(scenario, plan));
  put('CREATOR', `starassay ${version}`, 'simulated frame');
  const omit = new Set(scenario.header.omit.map((keyword) => keyword.toUpperCase()));
  return cards.filter(({ keyword }) => !omit.has(keyword));
}

/** Linear WCS of a frame (Greisen & Calabretta 2002): gnomonic projection about the target. */
function wcsCards(scenario: Scenario, plan: FramePlan): readonly HeaderCard[] {
  const { camera, target } = scenario;
  const north = ((90 + camera.angleDeg + plan.pose.rotationDeg) * Math.PI) / 180;
  const scale = plan.arcsecPerPx / 3600;
  // East lies 90 degrees counter-clockwise of north when the sky is seen from inside the sphere.
  const cd = [
    [-scale * Math.sin(north), scale * Math.cos(north)],
    [scale * Math.cos(north), scale * Math.sin(north)],
  ];
  const card = (keyword: string, value: HeaderValue, comment: string): HeaderCard => ({
    keyword,
    value,
    comment,
  });
  return [
    card('CTYPE1', 'RA---TAN', 'gnomonic projection'),
    card('CTYPE2', 'DEC--TAN', 'gnomonic projection'),
    card('CRVAL1', target.raDeg, '[deg] right ascension at the reference pixel'),
    card('CRVAL2', target.decDeg, '[deg] declination at the reference pixel'),
    card('CRPIX1', rounded((camera.widthPx + 1) / 2 + plan.pose.shiftX, 3), 'reference pixel, x'),
    card('CRPIX2', rounded((camera.heightPx + 1) / 2 + plan.pose.shiftY, 3), 'reference pixel, y'),
    card('CUNIT1', 'deg', 'unit of axis 1'),
    card('CUNIT2', 'deg', 'unit of axis 2'),
    card('CD1_1', rounded(cd[0][0], 12), '[deg/px] of right ascension along x'),
    card('CD1_2', rounded(cd[0][1], 12), '[deg/px] of right ascension along y'),
    card('CD2_1', rounded(cd[1][0], 12), '[deg/px] of declination along x'),
    card('CD2_2', rounded(cd[1][1], 12), '[deg/px] of declination along y'),
    card('RADESYS', 'ICRS', 'celestial reference frame'),
  ];
}

/** Value at which pixels clip: full well or the top of the converter, whichever comes first. */
export function saturationAdu(scenario: Scenario): number {
  const { camera } = scenario;
  return Math.floor(
    Math.min(topAdu(scenario), camera.fullWellElectrons / camera.electronsPerAdu + camera.pedestalAdu),
  );
}

function isoTime(date: Date): string {
  return date.toISOString().replace('Z', '');
}

function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}

function sexagesimal(value: number, signed: boolean): string {
  const sign = value < 0 ? '-' : signed ? '+' : '';
  const tenths = Math.round(Math.abs(value) * 36_000);
  const two = (n: number): string => String(n).padStart(2, '0');
  const seconds = (tenths % 600) / 10;
  return `${sign}${two(Math.floor(tenths / 36_000))} ${two(Math.floor(tenths / 600) % 60)} ${seconds.toFixed(1).padStart(4, '0')}`;
}
