// Apart from the folder's other names: whoever only looks at measured frames need not load what measures them.
export { assessFrame, measureFrame, type MeasuredFrame } from '../assess-frame.js';
