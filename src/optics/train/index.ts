export { lightCone } from './light-cone.js';
export { searchSpacers, type SpacerAnswer, type SpacerChoice } from './spacer-search.js';
export { adviseSpacing, type SpacerPlan, type SpacingAdvice } from './train-advice.js';
export { checkTrain, type TrainWarning } from './train-check.js';
export { trainExample } from './train-example.js';
export { parseTrain, type Train, type TrainPart } from './train-file.js';
export { sumTrain, type TrainSum } from './train-sum.js';
export { jointEndText, jointStandards } from './train-threads.js';
export { checkVignetting, type VignettingCheck } from './train-vignetting.js';
