export { decideByHistory } from './decide-by-history.js';
export { historyVerdict } from './history-verdict.js';
