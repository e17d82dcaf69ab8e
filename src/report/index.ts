export { nightPage } from './page/night-page.js';
export type { PageOptions } from './view.js';
