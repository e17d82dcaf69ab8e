"""Record what astropy and cfitsio read in the FITS fixtures (and in ../shared/reference, where present) as expected.json.

Usage: python3 record.py [--check]. With --check nothing is written: it fails when a file no longer reads as recorded.
Debian: python3-astropy, libcfitsio-bin (funpack). Numbers are hashed little-endian, every NaN as the default quiet NaN.
"""
import hashlib
import json
import os
import subprocess
import sys
import tempfile
import warnings

import numpy as np
from astropy.io import fits

warnings.simplefilter("ignore")
HERE = os.path.dirname(os.path.abspath(__file__))
FIXTURES = os.path.normpath(os.path.join(HERE, "../../fixtures/fits"))
SHARED = os.path.normpath(os.path.join(HERE, "../../../../shared/reference"))
# compressed_with_nan.fits: astropy 5.2.1 leaves its ZBLANK out, funpack garbles its 6 x 6 tiles; no reader to trust.
NO_IMAGE = ("compressed_with_nan.fits", "not-fits/", ".bz2", ".csv", ".json", ".md", ".dat", ".npy")


def sha(array):
    array = np.ascontiguousarray(array, array.dtype.newbyteorder("<"))
    if array.dtype.kind == "f":
        array = array.copy()
        array[np.isnan(array)] = np.nan
    return hashlib.sha256(array.tobytes()).hexdigest()


def scaled(stored, header):
    """Physical values in doubles, by the standard's formula (section 4.4.2.5)."""
    bscale, bzero = header.get("BSCALE", 1), header.get("BZERO", 0)
    if stored.dtype.kind == "i" and stored.dtype.itemsize == 8 and bscale == 1 and float(bzero).is_integer():
        values = np.array([float(int(v) + int(bzero)) for v in stored.flat]).reshape(stored.shape)
    else:
        values = stored.astype("f8") * bscale + bzero
    blank = header.get("BLANK")
    if blank is not None and stored.dtype.kind != "f":
        values[stored == blank] = np.nan
    return values


def describe(stored, header):
    physical = scaled(stored, header)
    finite = physical[np.isfinite(physical)]
    return {
        "axes": list(stored.shape[::-1]),
        "type": stored.dtype.newbyteorder("=").name,
        "storedSha256": sha(stored),
        "physicalSha256": sha(physical),
        "nonFinite": int(physical.size - finite.size),
        "min": float(finite.min()) if finite.size else None,
        "max": float(finite.max()) if finite.size else None,
    }


def read(path):
    found = {}
    with fits.open(path, do_not_scale_image_data=True) as f:
        for i, hdu in enumerate(f):
            if not isinstance(hdu, (fits.PrimaryHDU, fits.ImageHDU, fits.CompImageHDU)) or isinstance(hdu, fits.GroupsHDU):
                continue
            if hdu.data is not None and hdu.data.size > 0:
                found[i] = describe(hdu.data, hdu.header)
    return found


def first_image(found):
    return next(iter(found.values()), {}).get("storedSha256")


def record(path):
    """One file's images, and which readers agree on the first one."""
    try:
        found = read(path)
        readers = ["astropy"]
    except Exception as error:
        found, readers = {}, []
        print(f"astropy: {os.path.basename(path)}: {error}")
    with fits.open(path, disable_image_compression=True) as f:
        packed = [i for i, hdu in enumerate(f) if "ZIMAGE" in hdu.header]
    if packed:
        with tempfile.TemporaryDirectory() as folder:
            plain = os.path.join(folder, "plain.fits")
            # Only from a copy, and with memory capped: funpack writes beside its input, and reads past the end of some broken tables.
            if subprocess.run(["funpack", "-O", plain, path], capture_output=True).returncode == 0:
                unpacked = read(plain)
                if not found:
                    found, readers = dict(zip(packed, unpacked.values())), ["cfitsio"]
                elif first_image(unpacked) == first_image(found):
                    readers.append("cfitsio")
                else:
                    readers = ["cfitsio"]
                    print(f"{os.path.basename(path)}: astropy and cfitsio disagree, cfitsio recorded")
                    found = dict(zip(found, unpacked.values()))
    return {"readers": readers, "images": {str(i): image for i, image in found.items()}}


def header_cards():
    """The cards of header-cards.fits as astropy types them."""
    with fits.open(os.path.join(FIXTURES, "header-cards.fits")) as f:
        cards = []
        for card in f[0].header.cards:
            value = card.value
            if isinstance(value, complex):
                value = {"re": value.real, "im": value.imag}
            elif isinstance(value, fits.card.Undefined):
                value = None
            elif isinstance(value, int) and not isinstance(value, bool) and abs(value) > 2**53:
                value = {"bigint": str(value)}
            cards.append([card.keyword, value, card.comment])
        return cards


def everything():
    recorded = {"tool": "astropy " + __import__("astropy").__version__, "fixtures": {}, "headerCards": header_cards(), "reference": {}}
    for name in sorted(os.listdir(FIXTURES)):
        # Variants that astropy 5.2.1 can't read or crashes on are compared with made-from.json alone.
        beyond = ("hand-i64-gzip", "hand-nocompress", "hand-uncompressed-column", "header-cards")
        if not name.endswith(".json") and not name.startswith(beyond):
            recorded["fixtures"][name] = record(os.path.join(FIXTURES, name))
    if os.path.isdir(SHARED):
        for folder, _, names in sorted(os.walk(SHARED)):
            for name in sorted(names):
                path = os.path.join(folder, name)
                key = os.path.relpath(path, SHARED)
                if any(part in key for part in NO_IMAGE):
                    continue
                try:
                    entry = record(path)
                except Exception as error:
                    print(f"{key}: {error}")
                    continue
                if entry["images"]:
                    recorded["reference"][key] = entry
    return recorded


if __name__ == "__main__":
    target = os.path.join(FIXTURES, "expected.json")
    recorded = everything()
    if "--check" in sys.argv:
        with open(target) as f:
            expected = json.load(f)
        if not recorded["reference"]:
            print("the shared reference data are not here: only the fixtures are compared")
            expected["reference"] = {}
        different = [k for part in ("fixtures", "reference") for k in set(expected[part]) | set(recorded[part]) if expected[part].get(k) != recorded[part].get(k)]
        print(f"{len(recorded['fixtures'])} fixtures and {len(recorded['reference'])} reference files read; different: {different or 'none'}")
        sys.exit(1 if different or expected["headerCards"] != recorded["headerCards"] else 0)
    with open(target, "w") as f:
        json.dump(recorded, f, indent=1)
        f.write("\n")
