export { derivePlateScale } from './plate-scale.js';
export { skyOrientation } from './sky-orientation.js';
