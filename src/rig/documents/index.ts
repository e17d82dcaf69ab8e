// Apart from the rest of the folder because the schema library takes longer to load than a status takes to work out.
export { parseNightDocument } from './night-document.js';
export { parseSimulatedYear, type SimulatedYear } from './simulated-year.js';
