export { trainJson } from './train-json.js';
export { trainSvg } from './train-svg.js';
export { trainText, warningText, type TrainReport } from './train-text.js';
