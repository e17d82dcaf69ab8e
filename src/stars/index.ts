export { measureStars, type MeasureOptions, type StarMeasurement } from './measure-stars.js';
export { summariseStars, type StarSummary } from './summarise-stars.js';
export { selectRegistrationStars } from './registration-stars.js';
export { starListCsv, starListEcsv } from './star-list.js';
export { StarFlag, type Figure, type StarTable } from './types.js';
