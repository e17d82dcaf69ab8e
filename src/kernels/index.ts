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
export { layWindow, starDesk, type StarDesk } from './star-desk.js';
