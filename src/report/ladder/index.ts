export { ladderText } from './ladder-text.js';
