#!/usr/bin/env python3
"""Half-flux diameters by SEP's curve of growth, of noise-free Gaussian stars and of stars on real frames, written to stars-half-flux.json.

Needs astropy, sep, numpy, scipy and the reference data beside the checkout (../shared/reference). Run from the project's root:
    /usr/bin/python3 tests/reference/stars-half-flux.py [output]
Pixels are exact integrals (error function); SEP is given the true total flux and place, so that only the cutting of pixels
by the circle is compared. A pixel's light spread evenly over it is the star convolved with the pixel a second time.
"""
import json
import os
import sys

import numpy as np
import sep
from astropy.io import fits
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

# Real stars wider than 3.3 px: half of the light within a given circle, above SEP's sky at the star; positions are FITS pixels.
here = os.path.dirname(os.path.abspath(__file__))
sequence = os.path.join(here, '..', '..', '..', 'shared', 'reference', 'sequence')
frames = {}
for number in ('0001', '0028', '0042', '0090', '0174'):
    name = f'AKB13475I{number}.fits.gz'
    data = np.ascontiguousarray(fits.getdata(os.path.join(sequence, name)), dtype=np.float64)
    background = sep.Background(data, bw=64, bh=64, fw=3, fh=3)
    back = background.back()
    smooth = np.array([[1.0, 2, 1], [2, 4, 2], [1, 2, 1]])
    found = sep.extract(data - back, 5.0, err=background.globalrms, minarea=5, filter_kernel=smooth)
    height, width = data.shape
    clean = (found['flag'] == 0) & (found['peak'] > 15 * background.globalrms) & (found['peak'] + back.max() < 0.7 * data.max())
    stars = []
    for star in found[clean][np.argsort(-found[clean]['flux'])]:
        x, y = round(float(star['x']), 3), round(float(star['y']), 3)
        aperture = round(float(1.5 * 2.3548 * np.sqrt(star['a'] * star['b'])), 3)
        if min(x, y) < aperture + 2 or x > width - aperture - 3 or y > height - aperture - 3:
            continue
        sky = round(float(back[int(round(y)), int(round(x))]), 3)
        radius, flag = sep.flux_radius(data - sky, [x], [y], [aperture], 0.5, subpix=11)
        if flag[0] == 0:
            stars.append({'x': round(x + 1, 3), 'y': round(y + 1, 3), 'sky': sky, 'aperture': aperture, 'sep': round(2 * float(radius[0]), 4)})
        if len(stars) == 30:
            break
    frames[name] = stars
target = sys.argv[1] if len(sys.argv) > 1 else os.path.join(here, 'stars-half-flux.json')
json.dump({'sep': sep.__version__, 'stars': rows, 'frames': frames}, open(target, 'w'), indent=1)
print(rows, {name: len(stars) for name, stars in frames.items()})
