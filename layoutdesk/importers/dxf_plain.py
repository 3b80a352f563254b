"""Plain things of a DXF of text, read straight from its lines.

Lines, circles, texts and simple blocks are nearly all of a drawing, and the library takes most of its time and
memory for them. They are taken out of the section of the model's entities here, and the library is given the rest.
What is not wholly plain (on a sheet of paper, made invisible, not all to be read) is left to it.
Their values have the names that the library gives them.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Final, TypeAlias

from layoutdesk.importers.linework import Progress

Values: TypeAlias = dict[str, Any]
Plain: TypeAlias = tuple[str, Values]

_CHUNK: Final = 1 << 22
_SECTION: Final = re.compile(
    rb"(?:\A|\n)[ \t]*0[ \t]*\r?\n[ \t]*SECTION[ \t]*\r?\n[ \t]*2[ \t]*\r?\n[ \t]*ENTITIES[ \t]*\r?\n"
)
_ON_PAPER, _HIDDEN, _EMBEDDED = 67, 60, 101
_CODED: Final = (b"\\U+", b"\\u+", b"\\M+", b"\\m+")
_Codes: TypeAlias = dict[int, bytes]


@dataclass(slots=True)
class Taken:
    """The plain things of the model, and the bytes of the file without them."""

    things: list[Plain] = field(default_factory=list)
    rest: bytes = b""


def take_plain(data: bytes, encoding: str, most: int, tell: Progress) -> Taken:
    """Take the plain things out of a file of text.

    Args:
        data: the file; it has an end.
        encoding: the code of its letters.
        most: when it holds more of them, the work ends there, for it will be refused.
        tell: is told how much is done, from 0 to 1.

    Raises:
        ValueError: when its lines do not go in pairs of code and value; the library may know better.
    """
    start = _SECTION.search(data)
    if start is None:
        return Taken(rest=data)
    taker = _Taker(encoding)
    at, held = start.end(), b""
    while at < len(data):
        tell(at / len(data))
        piece = held + data[at : at + _CHUNK]
        at = min(len(data), at + _CHUNK)
        lines = piece.split(b"\n")
        last = lines.pop()
        if len(lines) % 2:
            last = lines.pop() + b"\n" + last
        left = taker.take(lines)
        if taker.ended or len(taker.things) > most:
            kept = [*taker.kept, *lines[left:], last]
            return Taken(taker.things, b"".join((data[: start.end()], b"\n".join(kept), data[at:])))
        held = b"\n".join([*lines[left:], last])
    raise ValueError("the section has no end")


class _Taker:
    """Goes through whole pairs of lines and parts plain things from the rest."""

    def __init__(self, encoding: str) -> None:
        self.things: list[Plain] = []
        self.kept: list[bytes] = []
        self.ended = False
        self._encoding = encoding
        self._names: dict[bytes, str] = {}

    def take(self, lines: list[bytes]) -> int:
        """Take what is whole in these lines; return the index of the first line that is left."""
        codes = list(map(int, lines[::2]))
        values = lines[1::2]
        starts = [k for k, code in enumerate(codes) if code == 0]
        kinds = [values[start].strip() for start in starts]
        k = 0
        while k < len(starts):
            if kinds[k] == b"ENDSEC":
                self.ended = True
                return 2 * starts[k]
            after = k + 1
            if kinds[k] == b"INSERT":
                while after < len(starts) and kinds[after] == b"ATTRIB":
                    after += 1
                if after < len(starts) and kinds[after] == b"SEQEND":
                    after += 1
            if after >= len(starts):
                return 2 * starts[k]
            bounds = starts[k : after + 1]
            things = [
                self._plain(kinds[n], codes[start + 1 : end], values[start + 1 : end])
                for n, (start, end) in enumerate(pairwise(bounds), start=k)
                if n == k or kinds[n] != b"SEQEND"
            ]
            if None in things:
                self.kept += lines[2 * bounds[0] : 2 * bounds[-1]]
            else:
                self._add(*things)
            k = after
        return 0

    def _add(self, first: Plain | None, *attributes: Plain | None) -> None:
        """Keep a thing, with the attributes that follow it."""
        if first is not None:
            if attributes:
                first[1]["attributes"] = [attribute[1] for attribute in attributes if attribute is not None]
            self.things.append(first)

    def _plain(self, kind: bytes, codes: list[int], values: list[bytes]) -> Plain | None:
        """Read a thing if it is plain."""
        read = _READERS.get(kind)
        if read is None:
            return None
        # Of a code that comes twice the first counts: an attribute may have a second 72, which means another thing.
        found = dict(zip(reversed(codes), reversed(values), strict=True))
        if _ON_PAPER in found or _HIDDEN in found or _EMBEDDED in found:
            return None
        try:
            thing = read(found, codes, values)
            layer = self._name(found.get(8, b"0"))
            line = found.get(6)
            if line is not None:
                thing["linetype"] = self._name(line)
            if kind == b"TEXT":
                thing["text"] = self._letters(found[1])
            elif kind == b"ATTRIB":
                thing["text"] = self._letters(found[1])
                thing["tag"] = self._name(found[2])
            elif kind == b"INSERT":
                thing["name"] = self._name(found[2])
            if 210 in found:
                thing["extrusion"] = (float(found[210]), float(found[220]), float(found[230]))
        except (ValueError, KeyError):
            return None
        thing["layer"] = layer
        return kind.decode("ascii"), thing

    def _name(self, value: bytes) -> str:
        name = self._names.get(value)
        if name is None:
            name = self._names[value] = self._letters(value)
        return name

    def _letters(self, value: bytes) -> str:
        """Return letters.

        Raises:
            ValueError: when some are written in codes, which the library reads.
        """
        if b"\\" in value and any(code in value for code in _CODED):
            raise ValueError("coded letters")
        return value.decode(self._encoding, errors="replace").rstrip("\r")


_Reader: TypeAlias = Callable[[_Codes, "list[int]", "list[bytes]"], Values]


def _place(found: _Codes, code: int) -> tuple[float, float, float]:
    return float(found[code]), float(found[code + 10]), float(found.get(code + 20, 0.0))


def _line(found: _Codes, _: list[int], __: list[bytes]) -> Values:
    return {"start": _place(found, 10), "end": _place(found, 11)}


def _point(found: _Codes, _: list[int], __: list[bytes]) -> Values:
    return {"location": _place(found, 10)}


def _circle(found: _Codes, _: list[int], __: list[bytes]) -> Values:
    return {"center": _place(found, 10), "radius": float(found[40])}


def _arc(found: _Codes, _: list[int], __: list[bytes]) -> Values:
    return {
        "center": _place(found, 10),
        "radius": float(found[40]),
        "start_angle": float(found[50]),
        "end_angle": float(found[51]),
    }


def _text(found: _Codes, _: list[int], __: list[bytes]) -> Values:
    values: Values = {"insert": _place(found, 10), "height": float(found[40])}
    if 11 in found:
        values["align_point"] = _place(found, 11)
    for code, name in ((50, "rotation"), (41, "width")):
        if code in found:
            values[name] = float(found[code])
    for code, name in ((72, "halign"), (73, "valign")):
        if code in found:
            values[name] = int(found[code])
    return values


def _attribute(found: _Codes, codes: list[int], values: list[bytes]) -> Values:
    attribute = _text(found, codes, values)
    attribute["flags"] = int(found.get(70, 0))
    attribute["valign"] = int(found.get(74, 0))  # which is another code than that of a text
    return attribute


def _insert(found: _Codes, _: list[int], __: list[bytes]) -> Values:
    values: Values = {"insert": _place(found, 10)}
    for code, name in ((41, "xscale"), (42, "yscale"), (43, "zscale")):
        if code in found:
            values[name] = float(found[code]) or 1.0  # nothing is drawn by nought; the library too takes it for one
    for code, name in ((50, "rotation"), (44, "column_spacing"), (45, "row_spacing")):
        if code in found:
            values[name] = float(found[code])
    for code, name in ((70, "column_count"), (71, "row_count")):
        if code in found:
            values[name] = int(found[code])
    return values


def _run(found: _Codes, codes: list[int], values: list[bytes]) -> Values:
    corners: list[tuple[float, float]] = []
    bulges: list[float] = []
    x = 0.0
    for code, value in zip(codes, values, strict=True):
        if code == 10:
            x = float(value)
        elif code == 20:
            corners.append((x, float(value)))
            bulges.append(0.0)
        elif code == 42:
            bulges[-1] = float(value)
    run: Values = {"corners": corners, "bulges": bulges, "flags": int(found.get(70, 0))}
    if 38 in found:
        run["elevation"] = float(found[38])
    return run


_READERS: Final[dict[bytes, _Reader]] = {
    b"LINE": _line,
    b"POINT": _point,
    b"CIRCLE": _circle,
    b"ARC": _arc,
    b"TEXT": _text,
    b"ATTRIB": _attribute,
    b"INSERT": _insert,
    b"LWPOLYLINE": _run,
}
