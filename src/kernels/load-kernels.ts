import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/**
 * Functions of the WebAssembly module. Addresses are byte offsets in its memory; booleans are 0 or 1; `parity` is -1 for a monochrome plane, else that of the green sites.
 * What each one does, and in which unit, stands with its source in `assembly/`.
 */
export interface KernelExports {
  readonly memory: WebAssembly.Memory;
  readonly orderBytes: (at: number, count: number) => void;
  readonly gatherTile: (
    pixels: number,
    isFloat: number,
    width: number,
    height: number,
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    rowStep: number,
    columnStep: number,
    parity: number,
    isQuiet: number,
    r00: number,
    gx: number,
    gy: number,
    dither: number,
    out: number,
  ) => number;
  readonly gatherWhole: (
    pixels: number,
    width: number,
    height: number,
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    rowStep: number,
    parity: number,
    isQuiet: number,
    margin: number,
    r00: number,
    gx: number,
    gy: number,
    shift: number,
    out: number,
  ) => number;
  readonly readCoarseTile: (
    pixels: number,
    width: number,
    height: number,
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    rowStep: number,
    parity: number,
    guess: number,
    spread: number,
    sdPerQuartile: number,
    cut: number,
    sample: number,
    out: number,
  ) => number;
  readonly readTileCore: (
    pixels: number,
    width: number,
    height: number,
    x0: number,
    y0: number,
    x1: number,
    y1: number,
    rowStep: number,
    parity: number,
    isQuiet: number,
    r00: number,
    gx: number,
    gy: number,
    shift: number,
    startSd: number,
    cut: number,
    sample: number,
    out: number,
  ) => number;
  readonly wholeQuantile: (
    sample: number,
    entries: number,
    rank: number,
    guess: number,
    spread: number,
  ) => number;
  readonly wholeSums: (
    sample: number,
    entries: number,
    centre: number,
    low: number,
    high: number,
    out: number,
  ) => void;
  readonly median: (values: number, count: number) => number;
  readonly medianBelow: (values: number, count: number, centre: number, room: number) => number;
  readonly sumsWithin: (
    values: number,
    count: number,
    centre: number,
    low: number,
    high: number,
    out: number,
  ) => void;
  readonly binRow: (
    pixels: number,
    isFloat: number,
    width: number,
    height: number,
    size: number,
    parity: number,
    row: number,
    columns: number,
    run: number,
    levels: number,
    noises: number,
    spikeRatio: number,
    out: number,
  ) => number;
  readonly halvePixels: (
    pixels: number,
    width: number,
    height: number,
    parity: number,
    row: number,
    rows: number,
    columns: number,
    stride: number,
    levels: number,
    noises: number,
    limits: number,
    spikeRatio: number,
    out: number,
  ) => number;
  readonly halveBlocks: (rows: number, stride: number, columns: number, out: number) => void;
  readonly tileLine: (
    tiles: number,
    columns: number,
    rows: number,
    down: number,
    across: number,
    step: number,
    count: number,
    out: number,
  ) => void;
  readonly blockSums: (
    pixels: number,
    isFloat: number,
    width: number,
    y0: number,
    y1: number,
    rowStep: number,
    size: number,
    used: number,
    line: number,
    out: number,
  ) => void;
  readonly limitLine: (
    levels: number,
    noises: number,
    count: number,
    factor: number,
    isFloat: number,
    out: number,
  ) => void;
  readonly searchRows: (
    first: number,
    isFloat: number,
    columns: number,
    stride: number,
    row0: number,
    rows: number,
    levels: number,
    noises: number,
    limits: number,
    filter: number,
    quiet: number,
    threshold: number,
    spikeRatio: number,
    spikeAbove: number,
    out: number,
  ) => number;
  readonly blockSignal: (
    first: number,
    isFloat: number,
    stride: number,
    columns: number,
    size: number,
    levels: number,
    noises: number,
    tops: number,
    quiet: number,
    room: number,
    out: number,
  ) => void;
  readonly countAbove: (values: number, count: number, limit: number) => number;
  readonly placesAbove: (
    values: number,
    columns: number,
    rows: number,
    limit: number,
    every: number,
    xs: number,
    ys: number,
  ) => number;
  readonly lineScores: (
    xs: number,
    ys: number,
    count: number,
    c: number,
    s: number,
    reach: number,
    columns: number,
    rows: number,
    density: number,
    least: number,
    votes: number,
    scores: number,
  ) => number;
  readonly ringLevels: (
    values: number,
    usable: number,
    width: number,
    height: number,
    x: number,
    y: number,
    unit: number,
    first: number,
    perUnit: number,
    rings: number,
    outer: number,
    noise: number,
    places: number,
    sorted: number,
    room: number,
    more: number,
    starts: number,
    out: number,
  ) => void;
  readonly gatherWindow: (
    pixels: number,
    isFloat: number,
    width: number,
    x0: number,
    y0: number,
    columns: number,
    rows: number,
    scale: number,
    offset: number,
    parity: number,
    values: number,
    usable: number,
  ) => number;
  readonly maskSpikes: (
    values: number,
    usable: number,
    width: number,
    height: number,
    limit: number,
    noise: number,
    ratio: number,
    isMosaic: number,
  ) => void;
  readonly maskNeighbours: (
    usable: number,
    width: number,
    height: number,
    x: number,
    y: number,
    neighbours: number,
    count: number,
  ) => void;
  readonly innerPixels: (
    values: number,
    usable: number,
    width: number,
    height: number,
    x: number,
    y: number,
    radius: number,
    out: number,
  ) => void;
  readonly momentsUnder: (
    values: number,
    usable: number,
    width: number,
    height: number,
    x: number,
    y: number,
    xx: number,
    xy: number,
    yy: number,
    pedestal: number,
    out: number,
  ) => number;
  readonly adaptiveMoments: (
    values: number,
    usable: number,
    width: number,
    height: number,
    x: number,
    y: number,
    xx: number,
    xy: number,
    yy: number,
    narrowest: number,
    rounds: number,
    restChange: number,
    restShift: number,
    farthest: number,
    widest: number,
    pedestal: number,
    variance: number,
    photonFactor: number,
    out: number,
  ) => number;
  readonly ringSample: (
    values: number,
    usable: number,
    width: number,
    height: number,
    x: number,
    y: number,
    low: number,
    high: number,
    stride: number,
    most: number,
    out: number,
  ) => number;
  readonly growthRings: (
    values: number,
    usable: number,
    width: number,
    height: number,
    x: number,
    y: number,
    radius: number,
    step: number,
    steps: number,
    pedestal: number,
    isMosaic: number,
    flux: number,
    area: number,
  ) => void;
  readonly choosePixels: (
    values: number,
    usable: number,
    width: number,
    height: number,
    x: number,
    y: number,
    radius: number,
    pedestal: number,
    out: number,
    stride: number,
  ) => number;
  readonly modelLineBytes: (count: number) => number;
  readonly fitMoffat: (
    pixels: number,
    stride: number,
    count: number,
    nodes: number,
    nodeCount: number,
    work: number,
    star: number,
  ) => number;
  readonly voteOnGamma: (
    pixels: number,
    stride: number,
    count: number,
    nodes: number,
    nodeCount: number,
    work: number,
    star: number,
  ) => number;
  readonly moffatSums: (
    pixels: number,
    stride: number,
    count: number,
    nodes: number,
    nodeCount: number,
    work: number,
    p: number,
    normal: number,
    gradient: number,
  ) => number;
  readonly coreSums: (
    pixels: number,
    stride: number,
    count: number,
    work: number,
    own: number,
    frame: number,
    perTop: number,
    isSplit: number,
    order: number,
    seeing: number,
    seeingCount: number,
    sums: number,
  ) => number;
  readonly resampleWindow: (
    window: number,
    width: number,
    rows: number,
    tapsX: number,
    tapsY: number,
    side: number,
    lines: number,
    values: number,
    weights: number,
  ) => void;
  readonly meanNearMedian: (
    values: number,
    weights: number,
    layers: number,
    count: number,
    stride: number,
    clip: number,
    floor: number,
    part: number,
    strip: number,
    out: number,
  ) => void;
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
