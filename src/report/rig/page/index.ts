export { rigPage } from '../../rig-page.js';
