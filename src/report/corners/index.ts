export { cornersJson } from './corners-json.js';
export { cornersReport, subjectUnit, type CornersReport, type CornersSubject } from './corners-report.js';
export { cornersText } from './corners-text.js';
