#!/usr/bin/env python3
"""Reads a star list written by `starassay measure FRAME --stars stars.ecsv` with astropy and checks columns, units and types.

    /usr/bin/python3 tests/reference/star-list.py stars.ecsv
"""
import sys
from astropy.table import Table

table = Table.read(sys.argv[1], format='ascii.ecsv')
units = {'x': 'pix', 'y': 'pix', 'flux': 'adu', 'fwhm': 'pix', 'hfd': 'pix', 'angle': 'deg', 'mxx': 'pix2'}
for name, unit in units.items():
    assert str(table[name].unit) == unit, (name, table[name].unit)
for name in table.colnames:
    assert table[name].description, name
assert table['id'].dtype.kind == 'i' and table['flags'].dtype.kind == 'u' and table['fwhm'].dtype.kind == 'f'
print(f'{len(table)} stars, {len(table.colnames)} columns, units and descriptions as they should be')
