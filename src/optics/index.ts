export { derivePlateScale } from './plate-scale.js';
export { skyOrientation } from './sky-orientation.js';
export { defocusDiscMicron, defocusVarianceMicron2 } from './defocus-disc.js';
export { criticalFocusZoneMicron } from './focus-zone.js';
export { plateShiftMm } from './plate-shift.js';
export { reducerDistanceMm, reducerFactor, reducerRemainderMm } from './reducer.js';
export { thermalShiftMicron, TUBE_EXPANSION_PER_K } from './thermal-shift.js';
export { screwTurns, shimMicron, tiltAngleArcmin, type ScrewTurn } from './tilt-shim.js';
