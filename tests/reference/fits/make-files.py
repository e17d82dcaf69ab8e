"""Make the small FITS files of tests/fixtures/fits with astropy and fpack (Debian: python3-astropy, libcfitsio-bin).

Usage: python3 make-files.py [directory]. Seeded; a tile-compressed file may differ in comments (tool versions, dates), never in pixels.
"""
import gzip
import hashlib
import json
import os
import subprocess
import sys
import warnings

import numpy as np
from astropy.io import fits

warnings.simplefilter("ignore")
HERE = os.path.dirname(os.path.abspath(__file__))
OUT = sys.argv[1] if len(sys.argv) > 1 else os.path.join(HERE, "../../fixtures/fits")
os.makedirs(OUT, exist_ok=True)
W, H = 41, 30  # odd width: every tile shape below leaves a remainder


made_from = {}  # sha256 of the numbers that went in, little-endian, for everything without loss


def path(name):
    return os.path.join(OUT, name)


def note(name, data):
    # Unsigned numbers, and signed bytes, are stored with their top bit flipped (BZERO).
    if data.dtype.kind == "u" and data.dtype.itemsize > 1 or data.dtype == "i1":
        signed = data.dtype.str[1:].replace("u", "i") if data.dtype.kind == "u" else "u1"
        data = (data.view(f"u{data.dtype.itemsize}") ^ (1 << (8 * data.dtype.itemsize - 1))).view(signed)
    made_from[name] = hashlib.sha256(np.ascontiguousarray(data).astype(data.dtype.newbyteorder("<")).tobytes()).hexdigest()


def scene(seed, high):
    """Sky, noise and a few stars, between 0 and `high`."""
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[0:H, 0:W]
    image = rng.normal(0.2 * high, 0.01 * high, (H, W))
    for _ in range(8):
        cx, cy, flux = rng.uniform(3, W - 3), rng.uniform(3, H - 3), rng.uniform(0.1, 0.7)
        image += flux * high * np.exp(-((x - cx) ** 2 + (y - cy) ** 2) / 4)
    return np.clip(image, 0, high)


def write(name, data, header=None, **kw):
    note(name, data)
    hdu = fits.PrimaryHDU(data, header)
    for key, value in kw.items():
        hdu.header[key.replace("_", "-")] = value
    hdu.writeto(path(name), overwrite=True, output_verify="silentfix")


def raw(name, data, **cards):
    """Stored numbers with scaling cards that astropy must not apply."""
    note(name, data)
    hdu = fits.PrimaryHDU(data)
    hdu.writeto(path(name), overwrite=True)
    with fits.open(path(name), mode="update", do_not_scale_image_data=True) as f:
        for key, value in cards.items():
            f[0].header[key] = value


full = np.random.default_rng(7)
info8, info16, info32, info64 = (np.iinfo(t) for t in ("i1", "i2", "i4", "i8"))

# Every BITPIX over its whole range, and the unsigned ones through BZERO.
write("u8.fits", full.integers(0, 256, (H, W)).astype("u1"))
write("i8.fits", full.integers(-128, 128, (H, W)).astype("i1"))
write("i16.fits", full.integers(info16.min, info16.max, (H, W), endpoint=True).astype("i2"))
write("u16.fits", full.integers(0, 65536, (H, W)).astype("u2"))
write("i32.fits", full.integers(info32.min, info32.max, (H, W), endpoint=True).astype("i4"))
write("u32.fits", full.integers(0, 2**32, (H, W)).astype("u4"))
write("i64.fits", full.integers(info64.min, info64.max, (H, W), endpoint=True).astype("i8"))
write("u64.fits", full.integers(0, 2**64 - 1, (H, W), dtype="u8", endpoint=True))
real = full.normal(0, 1e3, (H, W))
real[3, 4], real[5, 6], real[7, 8], real[0, 0] = np.nan, np.inf, -np.inf, -0.0
write("f32.fits", real.astype("f4"))
write("f64.fits", real)
raw("f32-scaled.fits", real.astype("f4"), BSCALE=2.5, BZERO=-10.125)

# Scaling and BLANK.
raw("i16-fractional.fits", full.integers(-30000, 30000, (H, W)).astype("i2"), BSCALE=0.0457763671875, BZERO=1500.5)
blank = full.integers(-500, 500, (H, W)).astype("i2")
blank[2, 3] = blank[10, 11] = -32768
raw("i16-blank.fits", blank, BLANK=-32768)
blank8 = full.integers(0, 200, (H, W)).astype("u1")
blank8[4, :5] = 255
raw("u8-blank.fits", blank8, BLANK=255)
blank32 = full.integers(-10**6, 10**6, (H, W)).astype("i4")
blank32[1, 1] = -(2**31)
raw("i32-blank-fractional.fits", blank32, BSCALE=0.125, BZERO=7.0, BLANK=-(2**31))
blank64 = full.integers(-10**12, 10**12, (H, W)).astype("i8")
blank64[1, 2] = -(2**63)
raw("i64-blank.fits", blank64, BLANK=-(2**63))
raw("u16-blank.fits", blank, BLANK=-32768, BZERO=32768)

# Places and shapes.
sky = scene(1, 4000).astype("u2")
fits.HDUList([fits.PrimaryHDU(), fits.ImageHDU(sky, name="SCI"), fits.ImageHDU(sky[::-1], name="SCI", ver=2)]).writeto(path("extensions.fits"), overwrite=True)
table = fits.BinTableHDU.from_columns([fits.Column("a", "1J", array=[1, 2])])
fits.HDUList([fits.PrimaryHDU(), table, fits.ImageHDU(sky)]).writeto(path("after-table.fits"), overwrite=True)
write("colour-cube.fits", np.stack([sky, sky + 100, sky // 2]).astype("u2"))
write("degenerate-axes.fits", sky[np.newaxis, np.newaxis])
write("cube-of-five.fits", np.stack([sky] * 5))
write("one-row.fits", sky[:1])
with open(path("u16.fits"), "rb") as f:
    plain = f.read()
with open(path("u16.fits.gz"), "wb") as f:
    f.write(gzip.compress(plain, mtime=0))

# Tile compression through astropy (its own copy of cfitsio), any tile shape.
numbers = {
    "u8": scene(2, 250).astype("u1"),
    "i16": (scene(3, 30000) - 8000).astype("i2"),
    "u16": scene(4, 65000).astype("u2"),
    "i32": (scene(5, 2e9) - 4e8).astype("i4"),
    "u32": scene(5, 4e9).astype("u4"),
}
tiles = {"rows": None, "10x7": [10, 7], "16x15": [16, 15], "whole": [W, H]}


def compressed(name, data, tile_size=None, **kw):
    if tile_size is not None:
        kw["tile_size"] = list(tile_size)  # astropy changes the list it is given
    if (data.dtype.kind != "f" and not kw.get("hcomp_scale")) or kw.get("quantize_level") == 0:
        note(name, data)
    fits.HDUList([fits.PrimaryHDU(), fits.CompImageHDU(data, **kw)]).writeto(path(name), overwrite=True)


for kind, data in numbers.items():
    for method in ("RICE_1", "GZIP_1", "GZIP_2", "PLIO_1", "HCOMPRESS_1"):
        if method == "PLIO_1" and kind not in ("u8",):
            continue  # holds 0 to 2^24 only; u16 through fpack below
        shapes = ["10x7"] if method in ("GZIP_1", "GZIP_2") else ["16x15", "whole"] if method == "HCOMPRESS_1" else ["rows", "10x7"]
        for shape in shapes:
            if kind == "u32" and shape != "10x7":
                continue
            if method == "HCOMPRESS_1" and kind not in ("u8", "i16"):
                continue  # noisy wide integers overrun astropy 5.2.1's buffer; fpack makes them below
            compressed(f"{kind}-{method.lower()}-{shape}.fits", data, compression_type=method, tile_size=tiles[shape])
compressed("i16-hcompress-lossy.fits", numbers["i16"], compression_type="HCOMPRESS_1", tile_size=[W, H], hcomp_scale=40)
compressed("i16-hcompress-smooth.fits", numbers["i16"], compression_type="HCOMPRESS_1", tile_size=[W, H], hcomp_scale=40, hcomp_smooth=1)
compressed("i32-hcompress-smooth-16x16.fits", numbers["i32"], compression_type="HCOMPRESS_1", tile_size=[16, 16], hcomp_scale=20, hcomp_smooth=1)
compressed("cube-rice.fits", np.stack([sky, sky + 100, sky // 2]).astype("i2"), compression_type="RICE_1", tile_size=[20, 9, 2])
noise = scene(6, 1000.0) + np.random.default_rng(8).normal(0, 20, (H, W))
noise[0:3, 0:9] = 0.0
hole = noise.copy()
hole[8, 8:20] = np.nan
for width, dtype in (("f32", "f4"), ("f64", "f8")):
    for method in ("RICE_1", "GZIP_1", "GZIP_2", "HCOMPRESS_1"):
        for dither, number in (("no-dither", -1), ("dither-1", 1), ("dither-2", 2)):
            if method != "RICE_1" and (dither == "no-dither" or width == "f64"):
                continue
            shape = [16, 16] if method == "HCOMPRESS_1" else [W, 4]
            # Without NaN: astropy 5.2.1 writes no ZBLANK; fpack does.
            compressed(f"{width}-{method.lower()}-{dither}.fits", noise.astype(dtype), compression_type=method, tile_size=shape, quantize_level=4, quantize_method=number, dither_seed=9999 if dither == "dither-2" else 77)
    compressed(f"{width}-gzip-lossless.fits", hole.astype(dtype), compression_type="GZIP_2", quantize_level=0)
# A constant tile can't be quantised: its floats are gzipped beside the others.
flat = noise.copy()
flat[4:8] = 3.25
compressed("f32-rice-constant-tile.fits", flat.astype("f4"), compression_type="RICE_1", tile_size=[W, 4], quantize_level=4)

# The same through fpack.
u16 = scene(4, 65000).astype("u2")
for option, name in (("-r", "rice"), ("-g1", "gzip1"), ("-g2", "gzip2"), ("-h", "hcompress"), ("-p", "plio")):
    write("tmp.fits", u16)
    made_from[f"fpack-u16-{name}.fits.fz"] = made_from["tmp.fits"]
    subprocess.run(["fpack", option, "-S", path("tmp.fits")], stdout=open(path(f"fpack-u16-{name}.fits.fz"), "wb"), check=True)
write("tmp.fits", numbers["i32"])
made_from["fpack-i32-hcompress.fits.fz"] = made_from["tmp.fits"]
subprocess.run(["fpack", "-h", "-S", path("tmp.fits")], stdout=open(path("fpack-i32-hcompress.fits.fz"), "wb"), check=True)
subprocess.run(["fpack", "-h", "-s", "30", "-S", path("tmp.fits")], stdout=open(path("fpack-i32-hcompress-lossy.fits.fz"), "wb"), check=True)
write("tmp.fits", hole.astype("f4"))
made_from["fpack-f32-lossless.fits.fz"] = made_from["tmp.fits"]
for options, name in ((["-q", "4"], "dither-1"), (["-qz", "4"], "dither-2"), (["-qn", "4"], "plain"), (["-g", "-q", "0"], "lossless")):
    subprocess.run(["fpack", *options, "-S", path("tmp.fits")], stdout=open(path(f"fpack-f32-{name}.fits.fz"), "wb"), check=True)
os.remove(path("tmp.fits"))

# By hand: 64-bit descriptors, ZBLANK and ZSCALE per tile, uncompressed tiles, numbers of 64 bits.
with fits.open(path("fpack-f32-dither-1.fits.fz"), disable_image_compression=True) as f:
    source, header = f[1].data, f[1].header
    cells = [source["COMPRESSED_DATA"][i] for i in range(len(source))]
    columns = [
        fits.Column("ZBLANK", "1J", array=np.full(len(source), header["ZBLANK"])),
        fits.Column("COMPRESSED_DATA", "1QB()", array=np.array(cells, dtype=object)),
        fits.Column("ZZERO", "1D", array=source["ZZERO"]),
        fits.Column("ZSCALE", "1D", array=source["ZSCALE"]),
    ]
    hand = fits.BinTableHDU.from_columns(columns)
    for card in header.cards:
        if card.keyword.startswith("Z") and card.keyword != "ZBLANK":
            hand.header.append(card)
    fits.HDUList([fits.PrimaryHDU(), hand]).writeto(path("hand-zblank-column.fits"), overwrite=True)


def by_hand(name, data, method, cells, column="COMPRESSED_DATA", form="1PB()"):
    note(name, data)
    array = np.empty(len(cells), dtype=object)
    array[:] = cells
    hand = fits.BinTableHDU.from_columns([fits.Column(column, form, array=array)])
    bitpix = {"i2": 16, "i4": 32, "i8": 64}[data.dtype.str[1:]]
    for key, value in (("ZIMAGE", True), ("ZCMPTYPE", method), ("ZBITPIX", bitpix), ("ZNAXIS", 2), ("ZNAXIS1", W), ("ZNAXIS2", H)):
        hand.header[key] = value
    fits.HDUList([fits.PrimaryHDU(), hand]).writeto(path(name), overwrite=True)


i64 = full.integers(-(10**15), 10**15, (H, W))
by_hand("hand-i64-gzip.fits", i64, "GZIP_1", [np.frombuffer(gzip.compress(row.astype(">i8").tobytes(), mtime=0), "u1") for row in i64])
i16 = numbers["i16"]
by_hand("hand-uncompressed-column.fits", i16, "RICE_1", [row.astype(">i2") for row in i16], "UNCOMPRESSED_DATA", "1PI()")
by_hand("hand-nocompress.fits", i16, "NOCOMPRESS", [np.frombuffer(row.astype(">i2").tobytes(), "u1") for row in i16])

# One header with what the standard allows and what programs write beside it.
cards = [
    "SIMPLE  =                    T / a header to be read",
    "BITPIX  =                    8",
    "NAXIS   =                    0",
    "EXTEND  =                    T",
    "STRING  = 'it''s a string / with a slash'  / doubled quote",
    "LEADING = '   three blanks before'",
    "NULLSTR = ''                   / null string",
    "BLANKSTR= '        '           / blank string",
    "EIGHT   = 'A       '           / padded to eight",
    "INT     =                  -42 / [adu] integer",
    "PLUS    =                  +17",
    "BIGINT  =  9007199254740993123 / beyond 2^53",
    "REAL    =             3.14E-10",
    "DEXP    =            1.25D+003 / D exponent",
    "SMALLD  =           -2.5d-2    / small d",
    "POINT   =                   5. / no digit behind the point",
    "NODIGIT =                  .25",
    "YES     =                    T / true",
    "NO      =                    F / false",
    "UNDEF   =                      / undefined value",
    "COMPLEX =         (1.5, -2.5E1) / complex",
    "FREE    = 12 / free format integer",
    "FREESTR =      'placed freely' / free format string",
    "LONGSTR = 'A string that goes on over more than one card, as the CONTINUE &'",
    "CONTINUE  'long-string convention lets it do: no limit but the reader''s pati&'",
    "CONTINUE  'ence.' / [m] comment of the long one",
    "AMPERS  = 'ends with an ampersand&' / but nothing continues it",
    "HIERARCH ESO DET OUT1 GAIN = 0.53 / [ADU/e] hierarch real",
    "HIERARCH ESO TEL NAME      = 'Unit 7'  / hierarch string",
    "DUPE    =                    1 / first",
    "DUPE    =                    2 / second",
    "COMMENT a comment with = and / and 'quotes'",
    "HISTORY history line one",
    "HISTORY   history line two, indented",
    "        text behind a blank keyword",
    "UNITS   =                300.5 / [s] exposure",
    "DATE-OBS= '2024-02-29T23:59:60.5' / leap day, leap second",
    "NO_VALUE",
    "UNDER_SC=                    3",
    "DASH-ED =                    4",
]
assert max(map(len, cards)) <= 80
text = "".join(card.ljust(80) for card in cards) + "END".ljust(80)
with open(path("header-cards.fits"), "wb") as f:
    f.write(text.ljust(-(-len(text) // 2880) * 2880).encode("ascii"))

del made_from["tmp.fits"]
with open(path("made-from.json"), "w") as f:
    json.dump(dict(sorted(made_from.items())), f, indent=1)
    f.write("\n")
