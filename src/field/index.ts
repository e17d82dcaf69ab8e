export { combineAtlases } from './combine-atlases.js';
export { combineFields, combineTilts } from './combine-fields.js';
export type { AtlasCell, StarAtlas } from './mean-stars.js';
export { cellGreys, encodeStarAtlas } from './star-atlas-picture.js';
export { describeField } from './describe-field.js';
export { defaultFrameOptions, type FrameJob, type FrameOptions, type FrameOutcome } from './frame-job.js';
export { fieldPosition } from './field-position.js';
export type { FieldPosition } from './field-position.js';
export { axisDeg } from './field-cells.js';
export { trailOnSky } from './trail-on-sky.js';
export { starShapes } from './star-shapes.js';
export { robustLinearFit } from './robust-linear-fit.js';
export type { LinearFit } from './robust-linear-fit.js';
export type {
  CornerFigure,
  CornerName,
  FieldCell,
  FieldPattern,
  FrameAssessment,
  FramePictures,
  RegistrationStars,
  SizeFigure,
  StarShape,
  TiltFigure,
  TrailFigure,
  UnreadableFrame,
} from './types.js';
