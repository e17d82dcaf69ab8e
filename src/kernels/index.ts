export type { KernelExports } from './load-kernels.js';
export {
  createPixelMemory,
  kernelsOf,
  residentPixels,
  type PixelMemory,
  type Placed,
  type ResidentPixels,
  type WorkArea,
} from './pixel-memory.js';
export type { StarDesk } from './star-desk.js';
