"""Text made safe for a DXF file: what a person typed must come out as typed, and must not end a line or a code."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import Final

LONGEST: Final = 250
"""How many characters are kept: older receivers read no more than 255."""

_JOINERS: Final = "\u200c\u200d"
_CODED: Final = re.compile(r"\\(?=[UuMm]\+)")
_NAME: Final = re.compile(r"[^A-Z0-9_-]+")


@lru_cache(maxsize=8192)
def single_line(text: str) -> str:
    """Return text as the value of a TEXT or ATTRIB: one line, with nothing in it that a receiver would decode.

    Breaks become spaces; control signs, signs of direction and halves of surrogate pairs are left out. Two
    percent signs, a backslash with U+ and a caret without a space after it would be read as codes.
    """
    out: list[str] = []
    for sign in text:
        kind = unicodedata.category(sign)
        if kind in {"Zl", "Zp", "Zs"} or sign in "\t\n\r\v\f":
            out.append(" ")
        elif kind not in {"Cc", "Cf", "Cs", "Cn", "Co"} or sign in _JOINERS:
            out.append(sign)
    clean = "".join(out).replace("%%", "% %").replace("%%", "% %").replace("^", "^ ")
    clean = _CODED.sub("/", clean).strip()
    return clean if len(clean) <= LONGEST else clean[: LONGEST - 1].rstrip() + "…"


@lru_cache(maxsize=8192)
def multi_line(text: str) -> str:
    """Return text as the value of an MTEXT: one line, with the signs that format it escaped."""
    clean = single_line(text)
    return clean.replace("\\", "\\\\").replace("{", "\\{").replace("}", "\\}")


def block_name(name: str, taken: set[str]) -> str:
    """Return a name for a block, in capitals, that is not among those taken, and add it to them."""
    plain = _NAME.sub("_", unicodedata.normalize("NFKD", name).upper())[:60] or "_"
    candidate, n = plain, 1
    while candidate in taken:
        n += 1
        candidate = f"{plain}_{n}"
    taken.add(candidate)
    return candidate
