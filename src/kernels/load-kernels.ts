import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../package-root.js';
import type { FrameKernels } from './frame-kernels.js';
import type { StarKernels } from './star-kernels.js';

/**
 * What the WebAssembly module offers. Addresses are byte offsets in its memory; booleans are 0 or 1; `parity` is -1 for a monochrome plane, else that of the green sites.
 * What each kernel does, and in which unit, stands with its source in `assembly/`.
 */
export interface KernelExports extends FrameKernels, StarKernels {
  readonly memory: WebAssembly.Memory;
}

let compiled: WebAssembly.Module | null = null;

/** A new instance with memory of its own. Throws when the module was never built (`npm run build`). */
export function loadKernels(): KernelExports {
  compiled ??= new WebAssembly.Module(readFileSync(join(packageRoot, 'dist/src/kernels/kernels.wasm')));
  return new WebAssembly.Instance(compiled, {}).exports as unknown as KernelExports;
}
