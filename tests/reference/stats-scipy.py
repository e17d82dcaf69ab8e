"""Reference values of rank statistics from scipy; run: python3 tests/reference/stats-scipy.py > tests/reference/stats-scipy.json"""
import itertools
import json
import sys

import numpy as np
import scipy
from scipy import stats

rng = np.random.default_rng(20260301)
out = {"source": f"scipy {scipy.__version__}, numpy {np.__version__}", "cases": {}}

z = [-37.5, -8.0, -3.5, -3.0, -1.959963984540054, -0.3, 0.0, 0.7, 2.9999, 3.0001, 5.0, 8.0]
p = [1e-300, 1e-20, 1e-9, 0.001, 0.025, 0.3, 0.5, 0.8, 0.975, 0.999999]
out["cases"]["normal"] = {
    "z": z, "cdf": stats.norm.cdf(z).tolist(), "p": p, "quantile": stats.norm.ppf(p).tolist()}

series = []
for n, ties in ((12, False), (30, True), (80, False), (200, True)):
    x = np.sort(rng.uniform(0, 400, n))
    y = 20 + 0.01 * x + rng.standard_t(3, n)
    if ties:
        x, y = np.round(x, -1), np.round(y, 0)
    slope = stats.theilslopes(y, x, alpha=0.95)
    tau_b = stats.kendalltau(x, y, method="asymptotic")
    score = sum(np.sign(x[j] - x[i]) * np.sign(y[j] - y[i]) for i, j in itertools.combinations(range(n), 2))
    series.append({
        "x": x.tolist(), "y": y.tolist(), "score": float(score),
        "slope": slope.slope, "intercept": slope.intercept, "low": slope.low_slope, "high": slope.high_slope,
        "pWithoutContinuity": tau_b.pvalue})
out["cases"]["series"] = series

pairs = []
for n, m, ties, shift in ((4, 5, False, 2.0), (8, 11, False, 0.5), (25, 40, False, 0.0), (15, 20, True, 1.0), (60, 50, False, 0.4), (3, 3, False, 9.0)):
    a, b = rng.normal(0, 1, n), rng.normal(shift, 1, m)
    if ties:
        a, b = np.round(a, 0), np.round(b, 0)
    method = "asymptotic" if ties or n * m > 1600 else "exact"
    test = stats.mannwhitneyu(a, b, alternative="two-sided", method=method)
    differences = np.sort((b[:, None] - a[None, :]).ravel())
    pairs.append({
        "a": a.tolist(), "b": b.tolist(), "u": test.statistic, "p": test.pvalue, "method": method,
        "shift": float(np.median(differences))})
out["cases"]["pairs"] = pairs
json.dump(out, sys.stdout)
