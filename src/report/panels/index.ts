import { blurBudget } from './blur-budget.js';
import { causes } from './causes.js';
import { frameViewer } from './frame-viewer.js';
import { framesTable } from './frames-table.js';
import { history } from './history.js';
import { leftOut } from './left-out.js';
import type { Panel } from './panel.js';
import { sensor } from './sensor.js';
import { timeline } from './timeline.js';
import { verdict } from './verdict.js';
import { whatIf } from './what-if.js';
import { words } from './words.js';

/** Every panel of the page, in reading order: the answer, what to do, then the evidence. */
export const panels: readonly Panel[] = [
  verdict,
  causes,
  history,
  timeline,
  sensor,
  blurBudget,
  whatIf,
  framesTable,
  frameViewer,
  leftOut,
  words,
];
