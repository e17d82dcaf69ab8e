export { notesText, rigCompareText, rigListText, rigStatusText, rigTrendText } from './rig-text.js';
