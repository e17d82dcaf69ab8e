// Apart from the folder's other names: to judge a night by the history, nothing need be imported, exported or compared.
export { rigHistory } from '../rig-history.js';
export { asStoreError } from '../store-error.js';
export { openStore } from '../store.js';
