export { ladderPage } from './ladder-page.js';
export { ladderText } from './ladder-text.js';
