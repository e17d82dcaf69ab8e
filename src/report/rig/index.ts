export { rigPage } from '../rig-page.js';
export { notesText, rigCompareText, rigListText, rigStatusText, rigTrendText } from './rig-text.js';
