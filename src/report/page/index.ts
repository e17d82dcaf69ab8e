// Apart from the folder's other names: the page draws with a good many modules that a table has no use for.
export { nightPage } from './night-page.js';
