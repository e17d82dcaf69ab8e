"""Record sun, moon and target altitudes with astropy as reference values: python3 optics-sky.py > optics-sky.json"""
import json
import warnings

import astropy
import astropy.units as u
import numpy as np
from astropy.coordinates import AltAz, EarthLocation, SkyCoord, get_body
from astropy.time import Time
from astropy.utils import iers

warnings.simplefilter("ignore")
iers.conf.auto_download = False
place = EarthLocation(lat=46.2 * u.deg, lon=11.4 * u.deg, height=640 * u.m)
target = SkyCoord(311.5 * u.deg, 43.8 * u.deg)
rows = []
for text in ["2026-09-12T18:45:00", "2026-09-18T20:00:00", "2026-03-03T23:30:00", "2027-01-22T02:10:00"]:
    time = Time(text)
    frame = AltAz(obstime=time, location=place)
    sun = get_body("sun", time, place)
    moon = get_body("moon", time, place)
    elongation = np.radians(sun.separation(moon).deg)
    rows.append(
        {
            "time": text + "Z",
            "sunAltitudeDeg": round(float(sun.transform_to(frame).alt.deg), 3),
            "moonAltitudeDeg": round(float(moon.transform_to(frame).alt.deg), 3),
            "moonLit": round(float((1 - np.cos(elongation)) / 2), 3),
            "targetAltitudeDeg": round(float(target.transform_to(frame).alt.deg), 3),
            "moonSeparationDeg": round(float(target.separation(SkyCoord(moon.ra, moon.dec)).deg), 2),
        }
    )
print(json.dumps({"library": "astropy " + astropy.__version__, "rows": rows}, indent=2))
