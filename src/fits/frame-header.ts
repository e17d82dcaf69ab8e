import {
  angleWithin,
  numberWithin,
  readAltitude,
  readElectronsPerAdu,
  readExposure,
  readFilter,
  readFocalRatio,
  readGainSetting,
  readLongitude,
  readMillimetres,
  readPierSide,
  readRightAscension,
  readTemperature,
  readText,
} from './field-readers.js';
import type { FitsFile, FitsHdu } from './fits-file.js';
import { readFrameKind } from './frame-kind.js';
import { frameKeywords as keys } from './frame-keywords.js';
import { readStartOfExposure } from './header-date.js';
import { FieldCollector } from './header-field.js';
import { readBinning, readPixelSize, readPixelSizeOf, readScaleKeyword } from './header-optics.js';
import { readLinearWcs } from './header-wcs.js';
import { inheritedHeader } from './inherited-header.js';
import type { FrameHeader } from './types.js';

/**
 * The meaning of an image's header, whatever program wrote it: one record with the keyword behind each value, and null with
 * a reason for what is missing or makes no sense. Cards an extension lacks come from the primary header. Never throws.
 */
export function readFrameHeader(file: FitsFile, hdu: FitsHdu): FrameHeader {
  const header = inheritedHeader(file, hdu);
  const fields = new FieldCollector(header);
  const { kind, source } = readFrameKind(header);
  if (source) fields.found('kind', source);
  else fields.absent('kind', 'no IMAGETYP, FRAME or OBSTYPE that tells');
  const exposureSeconds = fields.pick('exposureSeconds', keys.exposureSeconds, readExposure);
  const start = readStartOfExposure(header, exposureSeconds);
  if ('iso' in start) fields.found('dateObs', start.source);
  else fields.absent('dateObs', start.problem);
  const linear = readLinearWcs(header);
  const wcs = 'problem' in linear ? null : linear;
  if (wcs) fields.found('wcs', wcs.source);
  else fields.absent('wcs', 'problem' in linear ? linear.problem : '');
  let raDeg = fields.pick('raDeg', keys.raDeg, readRightAscension);
  let decDeg = fields.pick('decDeg', keys.decDeg, angleWithin(-90, 90));
  // Both or none from the WCS: a pair from two sources would be no place on the sky.
  if ((raDeg === null || decDeg === null) && wcs?.crval && /^RA/i.test(header.text('CTYPE1') ?? '')) {
    [raDeg, decDeg] = wcs.crval;
    fields.found('raDeg', 'CRVAL1');
    fields.found('decDeg', 'CRVAL2');
  }
  const pixelSizeOf = readPixelSizeOf(header);
  return {
    kind,
    object: fields.pick('object', keys.object, readText),
    filter: fields.pick('filter', keys.filter, readFilter) ?? fields.pick('filter', keys.filter, readText),
    camera: fields.pick('camera', keys.camera, readText),
    telescope: fields.pick('telescope', keys.telescope, readText),
    site: fields.pick('site', keys.site, readText),
    exposureSeconds,
    gain: fields.pick('gain', keys.gain, readGainSetting),
    offset: fields.pick('offset', keys.offset, numberWithin(0, 1e6)),
    electronsPerAdu: fields.pick('electronsPerAdu', keys.electronsPerAdu, readElectronsPerAdu),
    readNoiseElectrons: fields.pick('readNoiseElectrons', keys.readNoiseElectrons, numberWithin(0, 1000)),
    binning: readBinning(header, fields),
    dateObs: 'iso' in start ? start.iso : null,
    temperatureC: fields.pick('temperatureC', keys.temperatureC, readTemperature),
    ambientTemperatureC: fields.pick('ambientTemperatureC', keys.ambientTemperatureC, readTemperature),
    focuserTemperatureC: fields.pick('focuserTemperatureC', keys.focuserTemperatureC, readTemperature),
    focuserPosition: fields.pick('focuserPosition', keys.focuserPosition, numberWithin(-1e9, 1e9)),
    focuserMicronPerStep: fields.pick(
      'focuserMicronPerStep',
      keys.focuserMicronPerStep,
      numberWithin(1e-4, 1e4),
    ),
    pierSide: fields.pick('pierSide', keys.pierSide, readPierSide),
    altitudeDeg: fields.pick('altitudeDeg', keys.altitudeDeg, readAltitude),
    azimuthDeg: fields.pick('azimuthDeg', keys.azimuthDeg, angleWithin(-360, 360)),
    airmass: fields.pick('airmass', keys.airmass, numberWithin(1, 100)),
    rotatorDeg: fields.pick('rotatorDeg', keys.rotatorDeg, angleWithin(-720, 720)),
    raDeg,
    decDeg,
    latitudeDeg: fields.pick('latitudeDeg', keys.latitudeDeg, angleWithin(-90, 90)),
    longitudeDeg: fields.pick('longitudeDeg', keys.longitudeDeg, readLongitude),
    elevationMetre: fields.pick('elevationMetre', keys.elevationMetre, numberWithin(-500, 9000)),
    pixelSizeMicron: readPixelSize(header, fields),
    ...(pixelSizeOf ? { pixelSizeOf } : {}),
    focalLengthMm: fields.pick('focalLengthMm', keys.focalLengthMm, readMillimetres(1, 200_000)),
    apertureMm: fields.pick('apertureMm', keys.apertureMm, readMillimetres(5, 50_000)),
    focalRatio: fields.pick('focalRatio', keys.focalRatio, readFocalRatio),
    scaleKeywordArcsecPerPx: readScaleKeyword(header, fields),
    wcs,
    sources: fields.sources,
    missing: fields.missing,
  };
}
