#!/usr/bin/env python3
"""Widths of the mean star of each frame of the real sequence, written to stars-sequence.json.

Needs astropy, sep, scipy, numpy and the reference data beside the checkout (../shared/reference). Run from the project's root:
    /usr/bin/python3 tests/reference/stars-sequence.py
Per frame, from the 60 brightest isolated unclipped stars (SEP's list): the median of elliptical Moffat fits (equal weights within 1.15 Gaussian
widths, exponent free); the half-maximum contour of their median image (2 sqrt(area / pi)); and of the whole picture the half width of its
autocorrelation over sqrt(2), which asks no list of stars. Rank correlations with the header's PFWHM stand at the end.
"""
import csv, json, os, warnings
import numpy as np, scipy, sep
from astropy.io import fits
from scipy.ndimage import map_coordinates, spline_filter
from scipy.optimize import least_squares
from scipy.stats import spearmanr

warnings.filterwarnings('ignore')
here = os.path.dirname(os.path.abspath(__file__))
folder = os.path.join(here, '..', '..', '..', 'shared', 'reference', 'sequence')
STEP = 0.25


def isolated(data, width, count=60):
    bkg = sep.Background(data, bw=64, bh=64)
    sub = data - bkg.back()
    o = sep.extract(sub, 3.0, err=bkg.globalrms, minarea=5, deblend_cont=0.001,
                    filter_kernel=np.array([[1., 2, 1], [2, 4, 2], [1, 2, 1]]))
    h, w = data.shape
    ok = (o['x'] > 25) & (o['y'] > 25) & (o['x'] < w - 26) & (o['y'] < h - 26) & \
         (o['peak'] + bkg.globalback < 45000) & (o['peak'] > 20 * bkg.globalrms)
    chosen = []
    for i in np.argsort(-o['flux']):
        if not ok[i]:
            continue
        d = np.hypot(o['x'] - o['x'][i], o['y'] - o['y'][i])
        near = (d > 0.1) & (d < 2.5 * width)
        if np.sum(o['flux'][near] / o['flux'][i] / (1 + (d[near] / width) ** 2) ** 3) < 0.01:
            chosen.append((o['x'][i], o['y'][i]))
        if len(chosen) == count:
            break
    return sub, bkg.globalrms, chosen


def fit_moffat(sub, x, y, width):
    r = int(np.ceil(1.25 * width))
    i, j = int(round(x)), int(round(y))
    yy, xx = np.mgrid[j - r:j + r + 1, i - r:i + r + 1]
    v = sub[j - r:j + r + 1, i - r:i + r + 1]
    m = (xx - x) ** 2 + (yy - y) ** 2 <= (1.15 * width) ** 2

    def miss(p):
        top, x0, y0, a, b, c, beta = p
        dx, dy = xx[m] - x0, yy[m] - y0
        q = a * dx * dx + 2 * b * dx * dy + c * dy * dy
        return top * np.maximum(1 + (2 ** (1 / beta) - 1) * q, 1e-9) ** -beta - v[m]

    k = 4 / width ** 2
    p = least_squares(miss, [v.max(), x, y, k, 0, k, 4],
                      bounds=([0, x - 3, y - 3, .001, -5, .001, 1.2], [1e6, x + 3, y + 3, 5, 5, 5, 60])).x
    det = p[3] * p[5] - p[4] ** 2
    return None if det <= 0 else (2 / det ** .25, p)


def autocorrelation_width(sub, rms):
    c = np.clip(sub, -5 * rms, 20000)
    ac = np.fft.irfft2(np.abs(np.fft.rfft2(c - c.mean())) ** 2, s=c.shape)

    def along(v):
        # The noise stands at lag 0 alone: the top is carried in from lags 1 and 2.
        top = v[1] + (v[1] - v[2]) / 3
        k = np.where(v < top / 2)[0][0]
        return 2 * (k - 1 + (v[k - 1] - top / 2) / (v[k - 1] - v[k])) / np.sqrt(2)
    return np.sqrt(along(ac[0, :60]) * along(ac[:60, 0]))


rows = list(csv.DictReader(open(os.path.join(folder, 'metrics.csv'))))
frames = {}
for row in rows:
    data = np.ascontiguousarray(fits.getdata(os.path.join(folder, row['file'] + '.gz')), dtype=float)
    width = float(row['sep_gauss_FWHM'])
    sub, rms, stars = isolated(data, width)
    spline = spline_filter(sub, order=3)
    g = np.arange(-2.5 * width, 2.5 * width + .01, STEP)
    gx, gy = np.meshgrid(g, g)
    fitted = [f for f in (fit_moffat(sub, x, y, width) for x, y in stars) if f is not None]
    mean = np.median([map_coordinates(spline, [p[2] + gy, p[1] + gx], order=3, prefilter=False) / p[0] for _, p in fitted], axis=0)
    r = np.hypot(gx, gy)
    top = mean[r < 0.5 * width].max()
    contour = 2 * np.sqrt(np.sum((mean > top / 2) & (r < 1.5 * width)) * STEP ** 2 / np.pi)
    frames[row['file']] = {'stars': len(fitted), 'moffat': round(float(np.median([f for f, _ in fitted])), 4),
                           'contour': round(float(contour), 4), 'autocorrelation': round(float(autocorrelation_width(sub, rms)), 4)}
header = [float(row['PFWHM']) for row in rows]
ranks = {k: round(float(spearmanr(header, [f[k] for f in frames.values()])[0]), 4) for k in ('moffat', 'contour', 'autocorrelation')}
json.dump({'made_by': 'tests/reference/stars-sequence.py', 'sep': sep.__version__, 'scipy': scipy.__version__, 'rankWithPFWHM': ranks, 'frames': frames},
          open(os.path.join(here, 'stars-sequence.json'), 'w'), indent=1)
print(ranks)
