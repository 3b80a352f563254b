"""How wide text is in the program's own typeface, read from its files: pages need it to wrap and to line up.

Widths are sums of advances, as the PDF writer sets them: without kerning, so that what is measured here is
what is printed.
"""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final

from layoutdesk.places import typeface
from layoutdesk.sheets.marks import Weight

MM_PER_POINT: Final = 25.4 / 72
CAPITAL: Final = 0.723
"""Height of a capital or a figure, as a share of the size."""
DESCENT: Final = 0.213
"""How far a ``g`` hangs below the line, as a share of the size."""

FACES: Final[Mapping[Weight, str]] = {
    "regular": "Regular",
    "semibold": "SemiBold",
    "bold": "Bold",
    "black": "Black",
}
"""What each weight is called in the names of the typeface's files."""
_INSTEAD: Final = "?"


@dataclass(frozen=True, slots=True)
class Face:
    """One weight of the typeface: the advance of every character that it has, in ems."""

    advance: Mapping[int, float]


@cache
def face(weight: Weight) -> Face:
    """Return the widths of one weight, read from its TrueType file.

    The tables are those of the OpenType specification: ``head`` for the em, ``hhea`` and ``hmtx`` for the
    advances, and the ``cmap`` subtable of format 4 for which character has which glyph.

    Raises:
        ValueError: when the file has no such subtable.
    """
    data = typeface(FACES[weight]).read_bytes()
    tables = _tables(data)
    (em,) = struct.unpack_from(">H", data, tables["head"] + 18)
    (metrics,) = struct.unpack_from(">H", data, tables["hhea"] + 34)
    advances = struct.unpack_from(">" + "Hh" * metrics, data, tables["hmtx"])[::2]
    return Face({c: advances[min(glyph, metrics - 1)] / em for c, glyph in _characters(data, tables["cmap"])})


def _tables(data: bytes) -> dict[str, int]:
    """Return where each table of the file begins."""
    (count,) = struct.unpack_from(">H", data, 4)
    entries = (struct.unpack_from(">4sLLL", data, 12 + 16 * i) for i in range(count))
    return {tag.decode("ascii"): start for tag, _checksum, start, _length in entries}


def _characters(data: bytes, cmap: int) -> Iterator[tuple[int, int]]:
    """Yield every character of the basic plane that the file has, with its glyph."""
    (count,) = struct.unpack_from(">H", data, cmap + 2)
    starts = (cmap + struct.unpack_from(">HHL", data, cmap + 4 + 8 * i)[2] for i in range(count))
    at = next((s for s in starts if struct.unpack_from(">H", data, s)[0] == 4), None)
    if at is None:
        raise ValueError("the typeface has no character map of format 4")
    double = struct.unpack_from(">H", data, at + 6)[0]
    n = double // 2
    ends = struct.unpack_from(f">{n}H", data, at + 14)
    firsts = struct.unpack_from(f">{n}H", data, at + 16 + double)
    deltas = struct.unpack_from(f">{n}H", data, at + 16 + 2 * double)
    ranges_at = at + 16 + 3 * double
    ranges = struct.unpack_from(f">{n}H", data, ranges_at)
    for i, (first, end, delta, offset) in enumerate(zip(firsts, ends, deltas, ranges, strict=True)):
        for c in range(first, min(end, 0xFFFE) + 1):
            glyph = c
            if offset:
                (glyph,) = struct.unpack_from(">H", data, ranges_at + 2 * i + offset + 2 * (c - first))
            if glyph or not offset:
                glyph = (glyph + delta) & 0xFFFF
            if glyph:
                yield c, glyph


@lru_cache(maxsize=4096)
def printable(text: str, weight: Weight = "regular") -> str:
    """Return ``text`` as the typeface can print it: what it lacks becomes a visible question mark.

    Line breaks and tabs become spaces; marks without a width of their own (joiners, directions, accents that
    found no letter) are left out, so that one sign of a foreign script is one question mark.
    """
    known = face(weight).advance
    out: list[str] = []
    for c in unicodedata.normalize("NFC", text):
        kind = unicodedata.category(c)
        if c in "\n\r\t\v\f" or kind in {"Zl", "Zp"}:
            out.append(" ")
        elif kind[0] == "M" or kind in {"Cc", "Cf"}:
            continue
        else:
            out.append(c if ord(c) in known else _INSTEAD)
    return "".join(out)


@lru_cache(maxsize=16384)
def width(text: str, size: float, weight: Weight = "regular") -> float:
    """Return how wide one line of ``text`` is in millimetres of paper; ``size`` in points."""
    advance = face(weight).advance
    return sum(advance[ord(c)] for c in printable(text, weight)) * size * MM_PER_POINT
