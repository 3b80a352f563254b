"""What PDFium does not tell about a PDF: a page's own unit, its layers, and how much there is to draw.

PDFium ignores UserUnit, keeps the state of layers to itself, and draws a form that draws ten forms that draw ten
forms until the end of time. It can write a file anew, though, with every object in plain view: that copy is read
here.
"""

from __future__ import annotations

import io
import re
import zlib
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from layoutdesk.importers.pdf_library import calls
from layoutdesk.importers.pdf_syntax import Ref, parsed, text_of, unpacked

if TYPE_CHECKING:
    from pypdfium2 import PdfDocument

MOST_CONTENT: Final = 40 * 2**20
"""A page of more bytes of instructions, each form counted as often as it is drawn, would not fit in memory."""
MOST_PIXELS: Final = 100_000_000
_DEEPEST: Final = 60
_MOST_COPIED: Final = 96 * 2**20
"""Larger files are taken without their copy."""

_DRAWS: Final = re.compile(rb"/([^\0\t\n\f\r ()<>\[\]{}/%]+)[\0\t\n\f\r ]+Do\b")


class Burden(NamedTuple):
    """How many bytes of instructions there are, and how many pixels the largest picture has.

    Each form is counted as often as it is drawn. More than :data:`MOST_CONTENT` may be any number: a form that
    draws itself has no end.
    """

    content: int
    pixels: int


class _Page(NamedTuple):
    """A page, with the resources and the size that it has or inherits."""

    entries: dict[str, Any]
    resources: object
    box: object


class PlainCopy:
    """The objects of a document, read from a copy that PDFium wrote; of a file too large to copy, nothing."""

    def __init__(self, document: PdfDocument, file_size: int) -> None:
        self._document = document
        self._small = file_size <= _MOST_COPIED

    def user_unit(self, page: int) -> float:
        """Return how many points one unit of a page is, by its number from 1: 1 unless it says otherwise."""
        unit = self._page(page).get("UserUnit")
        return float(unit) if isinstance(unit, float | int) and 1e-3 <= unit <= 1e6 else 1.0

    @cached_property
    def layers_off(self) -> frozenset[str]:
        """Return the names of the layers that are switched off when the file is opened."""
        properties = self._dict(self._dict(self._root).get("OCProperties"))
        usual = self._dict(properties.get("D"))
        listed = self._list(usual.get("OFF"))
        if usual.get("BaseState") == "OFF":
            on = self._list(usual.get("ON"))
            listed = [group for group in self._list(properties.get("OCGs")) if group not in on]
        return frozenset(
            text_of(name) for group in listed if isinstance(name := self._dict(group).get("Name"), bytes)
        )

    def has_size(self, page: int) -> bool:
        """Return whether a page says how large it is, in numbers that can be."""
        if page > len(self._pages):
            return True  # not known
        box = self._list(self._pages[page - 1].box)
        sides = [v for v in map(self._follow, box) if isinstance(v, float) and abs(v) < 1e7]
        return len(sides) == len(box) == 4 and abs(sides[2] - sides[0]) > 0 < abs(sides[3] - sides[1])

    def burden(self, page: int) -> Burden:
        """Return how much there is to draw on a page."""
        if page > len(self._pages):
            return Burden(0, 0)
        found = self._pages[page - 1]
        contents = self._follow(found.entries.get("Contents"))
        streams = contents if isinstance(contents, list) else [found.entries.get("Contents")]
        return self._burden(streams, found.resources, {}, 0)

    @cached_property
    def _data(self) -> bytes:
        pdfium = calls()

        if not self._small:
            return b""
        out = io.BytesIO()
        try:
            self._document.save(out, flags=pdfium.FPDF_REMOVE_SECURITY)
        except RuntimeError:  # a damaged file that PDFium can show and not write
            return b""
        return out.getvalue()

    @cached_property
    def _places(self) -> dict[int, int]:
        """Return where each object begins."""
        table: dict[int, int] = {}
        data = self._data
        start = data.rfind(b"startxref")
        if start < 0:
            return table
        at = int((re.match(rb"\s*(\d+)", data[start + 9 : start + 40]) or [0, 0])[1])
        rows = re.compile(rb"\s*(\d{10}) \d{5} ([nf])")
        heads = re.compile(rb"\s*(?:xref\s+)?(\d+) (\d+)\s*?[\r\n]")
        while head := heads.match(data, at):
            at = head.end()
            for number in range(int(head[1]), int(head[1]) + int(head[2])):
                row = rows.match(data, at)
                if row is None:
                    return table
                at = row.end()
                if row[2] == b"n":
                    table[number] = int(row[1])
        return table

    @cached_property
    def _root(self) -> object:
        at = self._data.rfind(b"trailer")
        trailer = parsed(self._data, at + 7)[0] if at >= 0 else None
        return trailer.get("Root") if isinstance(trailer, dict) else None

    @cached_property
    def _pages(self) -> list[_Page]:
        """Return every page in order."""
        pages: list[_Page] = []
        seen: set[int] = set()
        waiting: list[tuple[object, object, object]] = [(self._dict(self._root).get("Pages"), None, None)]
        while waiting:
            ref, resources, box = waiting.pop()
            if not isinstance(ref, Ref) or ref.number in seen:
                continue
            seen.add(ref.number)
            node = self._dict(ref)
            resources, box = node.get("Resources", resources), node.get("MediaBox", box)
            if "Kids" in node:
                waiting += [(kid, resources, box) for kid in reversed(self._list(node["Kids"]))]
            else:
                pages.append(_Page(node, resources, box))
        return pages

    def _page(self, page: int) -> dict[str, Any]:
        return self._pages[page - 1].entries if page <= len(self._pages) else {}

    def _burden(self, streams: list[object], resources: object, known: dict[int, Burden], depth: int) -> Burden:
        """Return the burden of streams and of all that they draw; each form is weighed once."""
        things = self._dict(self._dict(resources).get("XObject"))
        content = pixels = 0
        for stream in streams:
            data = self._stream(stream)
            content += len(data)
            if depth > _DEEPEST or not things:
                continue
            for drawn in _DRAWS.finditer(data):
                ref = things.get(drawn[1].decode("latin-1"))
                if not isinstance(ref, Ref):
                    continue
                if ref.number not in known:
                    known[ref.number] = Burden(MOST_CONTENT + 1, 0)  # while it is weighed: it may draw itself
                    thing = self._dict(ref)
                    if thing.get("Subtype") == "Form":
                        inner = thing.get("Resources", resources)
                        known[ref.number] = self._burden([ref], inner, known, depth + 1)
                    else:
                        known[ref.number] = Burden(0, self._pixels(thing))
                content += known[ref.number].content
                pixels = max(pixels, known[ref.number].pixels)
                if content > MOST_CONTENT:
                    return Burden(content, pixels)
        return Burden(content, pixels)

    def _pixels(self, picture: dict[str, Any]) -> int:
        sides = (self._follow(picture.get(key)) for key in ("Width", "Height"))
        wide, high = (int(s) if isinstance(s, float) and 0 < s < 1e9 else 0 for s in sides)
        return wide * high

    def _stream(self, ref: object) -> bytes:
        """Return the bytes of a stream, as many as are bearable; what is packed in an unusual way stays packed."""
        if not isinstance(ref, Ref) or ref.number not in self._places:
            return b""
        found, end = parsed(self._data, self._begin(ref.number))
        if not isinstance(found, dict):
            return b""
        length = self._follow(found.get("Length"))
        begin = re.compile(rb"\s*stream\r?\n").match(self._data, end)
        if begin is None or not isinstance(length, float):
            return b""
        data = self._data[begin.end() : begin.end() + int(length)]
        packed = self._follow(found.get("Filter"))
        for name in packed if isinstance(packed, list) else [packed]:
            try:
                data = unpacked(data, name, MOST_CONTENT + 1)
            except (ValueError, zlib.error):
                return b""
        return data

    def _begin(self, number: int) -> int:
        head = re.compile(rb"\s*\d+ \d+ obj").match(self._data, self._places[number])
        return head.end() if head else len(self._data)

    def _follow(self, value: object) -> object:
        for _ in range(8):
            if not isinstance(value, Ref):
                return value
            value = parsed(self._data, self._begin(value.number))[0] if value.number in self._places else None
        return None

    def _dict(self, value: object) -> dict[str, Any]:
        found = self._follow(value)
        return found if isinstance(found, dict) else {}

    def _list(self, value: object) -> list[Any]:
        found = self._follow(value)
        return found if isinstance(found, list) else []
