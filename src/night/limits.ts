import type { DecisionLimits } from './types.js';

/** The limits that decide when the user names none (see DESIGN "Decisions"). */
export const defaultLimits: DecisionLimits = {
  fwhmFactor: 1.25,
  fwhmArcsec: null,
  elongation: 1.35,
  transparency: 0.7,
  weight: 0.3,
  minStars: 6,
  keepBest: null,
};
