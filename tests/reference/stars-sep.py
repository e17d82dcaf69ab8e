#!/usr/bin/env python3
"""Shapes and sizes of stars on real frames by SEP and astropy, written to stars-sep.json.

Needs astropy, sep, numpy and the reference data beside the checkout (../shared/reference). Run from the project's root:
    /usr/bin/python3 tests/reference/stars-sep.py [output]
Per frame: SEP's background, sources found as the inventory's recipe does, and for each of the 60 brightest clean ones the
elliptical Gaussian fit (astropy, equal weights, 1.5 FWHM about the star, constant background) and the half-flux radius.
Positions are FITS pixels (first pixel = 1).
"""
import json, os, sys, warnings
import numpy as np, sep
import astropy
from astropy.io import fits
from astropy.modeling import models, fitting

warnings.filterwarnings('ignore')
root = os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', '..', '..', 'shared', 'reference')
frames = ['real/eso085.fit', 'format/compressed/m13.fits', 'real/ntt_emmi_na36_256.fits',
          'sequence/AKB13475I0001.fits.gz', 'sequence/AKB13475I0028.fits.gz', 'sequence/AKB13475I0042.fits.gz',
          'sequence/AKB13475I0090.fits.gz', 'sequence/AKB13475I0174.fits.gz']
out = {'made_by': 'tests/reference/stars-sep.py', 'astropy': astropy.__version__, 'sep': sep.__version__, 'frames': {}}
fit = fitting.LevMarLSQFitter()
for name in frames:
    with fits.open(os.path.join(root, name)) as h:
        hdu = next(u for u in h if u.data is not None and u.data.ndim == 2)
        data = np.ascontiguousarray(hdu.data, dtype=np.float64)
    bkg = sep.Background(data, bw=64, bh=64, fw=3, fh=3)
    sub = data - bkg.back()
    rms = bkg.globalrms
    obj = sep.extract(sub, 5.0, err=rms, minarea=5, filter_kernel=np.array([[1., 2, 1], [2, 4, 2], [1, 2, 1]]))
    top = data.max()
    h, w = data.shape
    ok = (obj['flag'] == 0) & (obj['peak'] > 15 * rms) & (obj['npix'] >= 9) & (obj['x'] > 12) & (obj['y'] > 12) & \
         (obj['x'] < w - 13) & (obj['y'] < h - 13) & (obj['peak'] + bkg.globalback < 0.7 * top)
    sel = obj[ok][np.argsort(-obj[ok]['flux'])][:60]
    stars = []
    for o in sel:
        r = int(np.ceil(3.5 * max(o['a'], 1)))
        x0, y0 = int(round(o['x'])), int(round(o['y']))
        if x0 - r < 0 or y0 - r < 0 or x0 + r >= w or y0 + r >= h:
            continue
        cut = sub[y0 - r:y0 + r + 1, x0 - r:x0 + r + 1]
        yy, xx = np.mgrid[-r:r + 1, -r:r + 1]
        m = fit(models.Gaussian2D(o['peak'], o['x'] - x0, o['y'] - y0, o['a'], o['b'], o['theta']) + models.Const2D(0), xx, yy, cut)
        a, b = sorted((abs(m.x_stddev_0.value), abs(m.y_stddev_0.value)), reverse=True)
        hfr, flag = sep.flux_radius(sub, [o['x']], [o['y']], [6 * o['a']], 0.5, subpix=5)
        stars.append({'x': round(o['x'] + 1, 3), 'y': round(o['y'] + 1, 3), 'gaussFwhm': round(2.35482 * float(np.sqrt(a * b)), 4),
                      'gaussElongation': round(float(a / b), 4), 'halfFluxRadius': round(float(hfr[0]), 4)})
    out['frames'][name] = {'level': round(float(bkg.globalback), 3), 'rms': round(float(rms), 3), 'detected': len(obj), 'stars': stars}
target = sys.argv[1] if len(sys.argv) > 1 else os.path.join(os.path.dirname(os.path.abspath(__file__)), 'stars-sep.json')
json.dump(out, open(target, 'w'), indent=1)
print({k: len(v['stars']) for k, v in out['frames'].items()})
