import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
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

/** The built module: beside the compiled sources, or in the build folder when running from the sources. */
function moduleFile(): string {
  const beside = fileURLToPath(new URL('./kernels.wasm', import.meta.url));
  return existsSync(beside)
    ? beside
    : fileURLToPath(new URL('../../dist/src/kernels/kernels.wasm', import.meta.url));
}

/** A new instance with memory of its own. Throws when the module was never built (`npm run build`). */
export function loadKernels(): KernelExports {
  compiled ??= new WebAssembly.Module(readFileSync(moduleFile()));
  return new WebAssembly.Instance(compiled, {}).exports as unknown as KernelExports;
}
