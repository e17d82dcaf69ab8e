export { contactSheet } from './contact-sheet.js';
export { cornersPicture, type PictureEntry } from './corners-picture.js';
export { groupAtlases } from './group-atlases.js';
export { pictureFormat, type PictureFormat } from './picture-format.js';
