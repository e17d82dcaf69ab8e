"""The like-for-like work of an independent library, for `npm run bench`: read, background, extract, half-flux, windowed positions.

Reads one path a line from standard input, answers one JSON line: milliseconds of processor time and what was found.
Needs Debian's python3-astropy (or cfitsio through it) and python3-sep.
"""
import json
import sys
import time

import numpy as np
import sep
from astropy.io import fits

sep.set_extract_pixstack(3000000)
# Sky is told at every so many pixels.
GRID = 256
KERNEL = np.array([[1.0, 2, 1], [2, 4, 2], [1, 2, 1]])

for line in sys.stdin:
    path = line.strip()
    t0 = time.process_time()
    w0 = time.perf_counter()
    with fits.open(path, memmap=False) as f:
        image = f[0].data.astype(np.float32)
    t1 = time.process_time()
    background = sep.Background(image, bw=64, bh=64, fw=3, fh=3)
    background.subfrom(image)
    t2 = time.process_time()
    objects = sep.extract(image, 5.0, err=background.globalrms, minarea=5, filter_kernel=KERNEL)
    t3 = time.process_time()
    radius, _ = sep.flux_radius(image, objects["x"], objects["y"], 6.0 * objects["a"], 0.5, normflux=None, subpix=5)
    sep.winpos(image, objects["x"], objects["y"], np.maximum(radius, 0.5) * 2 / 2.35)
    t4 = time.process_time()
    good = (objects["flag"] == 0) & (objects["peak"] > 15 * background.globalrms)
    # What looks like a star by their own figures: not blended, cut or clipped, about as round and as wide as the others.
    whole = (objects["flag"] == 0) & (objects["b"] > 0.7 * objects["a"])
    typical = np.median(radius[good]) if good.any() else np.nan
    stars = objects[whole & (radius > 0.7 * typical) & (radius < 1.5 * typical)]
    sky = background.back()[::GRID, ::GRID]
    print(
        json.dumps(
            {
                "ms": 1000 * (t4 - t0),
                "wallMs": 1000 * (time.perf_counter() - w0),
                "read": 1000 * (t1 - t0),
                "background": 1000 * (t2 - t1),
                "extract": 1000 * (t3 - t2),
                "shapes": 1000 * (t4 - t3),
                "objects": len(objects),
                "halfFluxRadius": float(np.median(radius[good])) if good.any() else None,
                "level": float(background.globalback),
                "noise": float(background.globalrms),
                # FITS positions.
                "starX": [round(float(x) + 1, 2) for x in stars["x"]],
                "starY": [round(float(y) + 1, 2) for y in stars["y"]],
                "skyGrid": GRID,
                "sky": [[round(float(v), 3) for v in row] for row in sky],
            }
        ),
        flush=True,
    )
