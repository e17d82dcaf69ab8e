export { sweepPage } from './sweep-page.js';
export { sweepText } from './sweep-text.js';
