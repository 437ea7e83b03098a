"""Small drawn pictures as JPEG files, so that a story has photos without anybody's photo.

A baseline encoder: ITU-T T.81 (09/92), quantisation Table K.1, Huffman Tables K.3 and K.5 (Annex K), one grey
component, no subsampling. A flat block costs one number, so drawings of few shapes are quick and small.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Callable
from functools import cache

WIDTH_PX, HEIGHT_PX = 320, 240
Shade = Callable[[int, int], int]  # (x, y) in pixels → grey 0 to 255

_QUANT = (
    16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56, 14, 17, 22, 29,
    51, 87, 80, 62,
    18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113, 92, 49, 64, 78, 87, 103, 121, 120, 101, 72, 92,
    95, 98, 112, 100, 103, 99,
)  # fmt: skip
_ZIGZAG = tuple(
    sorted(range(64), key=lambda i: (i // 8 + i % 8, i // 8 if (i // 8 + i % 8) % 2 else i % 8))
)  # T.81 Figure A.6: diagonals, going up on even ones
_DC_COUNTS = (0, 1, 5, 1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0)
_DC_VALUES = tuple(range(12))
_AC_COUNTS = (0, 2, 1, 3, 3, 2, 4, 3, 5, 5, 4, 4, 0, 0, 1, 125)
_AC_VALUES = bytes.fromhex(
    "01020300041105122131410613516107227114328191a1082342b1c11552d1f02433627282090a161718191a25262728292a3435363738393a434445464748"
    "494a535455565758595a636465666768696a737475767778797a838485868788898a92939495969798999aa2a3a4a5a6a7a8a9aab2b3b4b5b6b7b8b9bac2c3"
    "c4c5c6c7c8c9cad2d3d4d5d6d7d8d9dae1e2e3e4e5e6e7e8e9eaf1f2f3f4f5f6f7f8f9fa"
)
_COS = [[math.cos((2 * x + 1) * u * math.pi / 16) for x in range(8)] for u in range(8)]


@cache
def _codes(counts: tuple[int, ...], values: tuple[int, ...]) -> dict[int, tuple[int, int]]:
    """Symbol → (code, length), T.81 Annex C."""
    codes, code, place = {}, 0, 0
    for length, count in enumerate(counts, start=1):
        for _ in range(count):
            codes[values[place]] = (code, length)
            code, place = code + 1, place + 1
        code <<= 1
    return codes


class _Bits:
    """A string of bits with a zero stuffed after each 0xFF (T.81 B.1.1.5)."""

    def __init__(self) -> None:
        self.out = bytearray()
        self._held = 0
        self._count = 0

    def put(self, value: int, length: int) -> None:
        self._held = self._held << length | value
        self._count += length
        while self._count >= 8:
            self._count -= 8
            byte = self._held >> self._count & 0xFF
            self.out += b"\xff\x00" if byte == 0xFF else bytes((byte,))
        self._held &= (1 << self._count) - 1

    def number(self, codes: dict[int, tuple[int, int]], run: int, value: int) -> None:
        """A run of zeros and a value: its size as a Huffman code, then its own bits."""
        size = abs(value).bit_length()
        self.put(*codes[run << 4 | size])
        if size:
            self.put(value if value > 0 else value + (1 << size) - 1, size)

    def end(self) -> bytes:
        if self._count:
            self.put((1 << (8 - self._count)) - 1, 8 - self._count)
        return bytes(self.out)


def _coefficients(block: list[int]) -> list[int]:
    """The quantised DCT of 64 samples, in zigzag order (T.81 A.3.3)."""
    if min(block) == max(block):
        return [round((block[0] - 128) * 8 / _QUANT[0])] + [0] * 63
    rows = [[sum((block[y * 8 + x] - 128) * _COS[u][x] for x in range(8)) for u in range(8)] for y in range(8)]
    out = [0] * 64
    for v in range(8):
        for u in range(8):
            scale = 0.25 * (1 if u else math.sqrt(0.5)) * (1 if v else math.sqrt(0.5))
            total = sum(rows[y][u] * _COS[v][y] for y in range(8))
            out[v * 8 + u] = round(total * scale / _QUANT[v * 8 + u])
    return [out[place] for place in _ZIGZAG]


def _segment(marker: int, body: bytes) -> bytes:
    return struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body


def _header() -> bytes:
    return b"".join((
        b"\xff\xd8",
        _segment(0xE0, b"JFIF\x00\x01\x01\x00" + struct.pack(">HHBB", 1, 1, 0, 0)),
        _segment(0xDB, b"\x00" + bytes(_QUANT[place] for place in _ZIGZAG)),
        _segment(0xC0, struct.pack(">BHHB", 8, HEIGHT_PX, WIDTH_PX, 1) + b"\x01\x11\x00"),
        _segment(0xC4, b"\x00" + bytes(_DC_COUNTS) + bytes(_DC_VALUES)),
        _segment(0xC4, b"\x10" + bytes(_AC_COUNTS) + _AC_VALUES),
        _segment(0xDA, b"\x01\x01\x00\x00\x3f\x00"),
    ))  # fmt: skip


def encode_jpeg(shade: Shade) -> bytes:
    """The picture that `shade` describes, as a grey baseline JPEG."""
    dc, ac = _codes(_DC_COUNTS, _DC_VALUES), _codes(_AC_COUNTS, tuple(_AC_VALUES))
    bits, before = _Bits(), 0
    for top in range(0, HEIGHT_PX, 8):
        for left in range(0, WIDTH_PX, 8):
            found = _coefficients([shade(left + x, top + y) for y in range(8) for x in range(8)])
            bits.number(dc, 0, found[0] - before)
            before, run = found[0], 0
            for value in found[1:]:
                if not value:
                    run += 1
                    continue
                while run > 15:
                    bits.put(*ac[0xF0])
                    run -= 16
                bits.number(ac, run, value)
                run = 0
            if run:
                bits.put(*ac[0x00])
    return _header() + bits.end() + b"\xff\xd9"
