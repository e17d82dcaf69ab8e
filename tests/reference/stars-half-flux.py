#!/usr/bin/env python3
"""Half-flux diameters of noise-free Gaussian stars by SEP's curve of growth, written to stars-half-flux.json.

Needs sep, numpy and scipy. Run from the project's root:
    /usr/bin/python3 tests/reference/stars-half-flux.py [output]
Pixels are exact integrals (error function); SEP is given the true total flux and place, so that only the cutting of pixels
by the circle is compared. A pixel's light spread evenly over it is the star convolved with the pixel a second time.
"""
import json
import os
import sys

import numpy as np
import sep
from scipy.special import erf

rows = []
for fwhm in (2.5, 2.8, 3.1, 3.3, 4.0, 5.0, 6.0, 8.0):
    sigma = fwhm / 2.3548200450309493
    reach = int(np.ceil(4 * fwhm))
    diameters = []
    for k in range(25):
        dx, dy = (k * 0.37) % 1 - 0.5, (k * 0.61) % 1 - 0.5

        def line(offset):
            edge = np.arange(-reach, reach + 2) - 0.5 - offset
            return np.diff(erf(edge / sigma / np.sqrt(2))) / 2

        image = np.ascontiguousarray(1e6 * np.outer(line(dy), line(dx)))
        radius, _ = sep.flux_radius(image, [reach + dx], [reach + dy], [3 * fwhm], 0.5, normflux=[1e6], subpix=11)
        diameters.append(2 * float(radius[0]))
    rows.append({'fwhm': fwhm, 'sep': round(float(np.median(diameters)), 5)})
target = sys.argv[1] if len(sys.argv) > 1 else os.path.join(os.path.dirname(os.path.abspath(__file__)), 'stars-half-flux.json')
json.dump({'sep': sep.__version__, 'stars': rows}, open(target, 'w'), indent=1)
print(rows)
