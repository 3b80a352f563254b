"""What PDFium does not tell about a PDF: a page's own unit, its layers, and how much there is to draw.

PDFium ignores UserUnit, keeps the state of layers to itself, and draws a form that draws ten forms that draw ten
forms until the end of time. It can write a file anew, though, with every object in plain view: that copy is read
here. The form of its objects is ISO 32000-1, 7.3.
"""

from __future__ import annotations

import io
import re
import zlib
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from layoutdesk.importers.pdf_library import calls

if TYPE_CHECKING:
    from pypdfium2 import PdfDocument

MOST_CONTENT: Final = 48 * 2**20
"""A page of more bytes of instructions, each form counted as often as it is drawn, would not fit in memory."""
MOST_PIXELS: Final = 100_000_000
_DEEPEST: Final = 60
_MOST_COPIED: Final = 96 * 2**20
"""Larger files are taken without their copy."""

_TOKEN: Final = re.compile(
    rb"(?:[\0\t\n\f\r ]|%[^\r\n]*)*"
    rb"(?:(?P<open><<|\[)|(?P<shut>>>|\])|/(?P<name>[^\0\t\n\f\r ()<>\[\]{}/%]*)"
    rb"|(?P<ref>\d{1,9}[ ]\d{1,5}[ ]R\b)|(?P<number>[+-]?(?:\d+\.?\d*|\.\d+))"
    rb"|(?P<string>\()|<(?P<hex>[0-9A-Fa-f\s]*)>|(?P<word>[^\0\t\n\f\r ()<>\[\]{}/%]+))"
)
_DRAWS: Final = re.compile(rb"/([^\0\t\n\f\r ()<>\[\]{}/%]+)[\0\t\n\f\r ]+Do\b")


class Ref(NamedTuple):
    """A reference to another object."""

    number: int


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

    def content(self, page: int) -> int:
        """Return how many bytes of instructions a page holds, each form counted as often as it is drawn.

        More than :data:`MOST_CONTENT` may be any number: a form that draws itself has no end.
        """
        found = self._page(page)
        contents = self._follow(found.get("Contents"))
        streams = contents if isinstance(contents, list) else [found.get("Contents")]
        return self._weight(streams, self._resources(page), {}, 0)

    def largest_picture(self) -> int:
        """Return how many pixels the largest picture of the file has."""
        most = 0
        for number in self._places:
            found = self._dict(Ref(number))
            if found.get("Subtype") == "Image":
                sides = (self._follow(found.get(key)) for key in ("Width", "Height"))
                wide, high = (int(s) if isinstance(s, float) and 0 < s < 1e9 else 0 for s in sides)
                most = max(most, wide * high)
        return most

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
        trailer = _parsed(self._data, at + 7)[0] if at >= 0 else None
        return trailer.get("Root") if isinstance(trailer, dict) else None

    @cached_property
    def _pages(self) -> list[tuple[dict[str, Any], object]]:
        """Return every page in order, with the resources that it has or inherits."""
        pages: list[tuple[dict[str, Any], object]] = []
        seen: set[int] = set()
        waiting: list[tuple[object, object]] = [(self._dict(self._root).get("Pages"), None)]
        while waiting:
            ref, inherited = waiting.pop()
            if not isinstance(ref, Ref) or ref.number in seen:
                continue
            seen.add(ref.number)
            node = self._dict(ref)
            resources = node.get("Resources", inherited)
            if "Kids" in node:
                waiting += [(kid, resources) for kid in reversed(self._list(node["Kids"]))]
            else:
                pages.append((node, resources))
        return pages

    def _page(self, page: int) -> dict[str, Any]:
        return self._pages[page - 1][0] if page <= len(self._pages) else {}

    def _resources(self, page: int) -> object:
        return self._pages[page - 1][1] if page <= len(self._pages) else None

    def _weight(self, streams: list[object], resources: object, known: dict[int, int], depth: int) -> int:
        """Return the bytes of streams and of all forms that they draw; forms are weighed once."""
        forms = self._dict(self._dict(resources).get("XObject"))
        total = 0
        for stream in streams:
            data = self._stream(stream)
            total += len(data)
            if depth > _DEEPEST or not forms:
                continue
            for drawn in _DRAWS.finditer(data):
                ref = forms.get(drawn[1].decode("latin-1"))
                if not isinstance(ref, Ref):
                    continue
                if ref.number not in known:
                    known[ref.number] = MOST_CONTENT + 1  # while it is weighed: one that draws itself has no end
                    form = self._dict(ref)
                    inner = form.get("Resources", resources)
                    is_form = form.get("Subtype") == "Form"
                    known[ref.number] = self._weight([ref], inner, known, depth + 1) if is_form else 0
                total += known[ref.number]
                if total > MOST_CONTENT:
                    return total
        return total

    def _stream(self, ref: object) -> bytes:
        """Return the bytes of a stream, as many as are bearable; those packed in an unusual way as they are."""
        if not isinstance(ref, Ref) or ref.number not in self._places:
            return b""
        found, end = _parsed(self._data, self._begin(ref.number))
        if not isinstance(found, dict):
            return b""
        length = self._follow(found.get("Length"))
        begin = re.compile(rb"\s*stream\r?\n").match(self._data, end)
        if begin is None or not isinstance(length, float):
            return b""
        data = self._data[begin.end() : begin.end() + int(length)]
        packed = self._follow(found.get("Filter"))
        if packed in ("FlateDecode", ["FlateDecode"]):
            try:
                return zlib.decompressobj().decompress(data, MOST_CONTENT + 1)
            except zlib.error:
                return b""
        return data

    def _begin(self, number: int) -> int:
        head = re.compile(rb"\s*\d+ \d+ obj").match(self._data, self._places[number])
        return head.end() if head else len(self._data)

    def _follow(self, value: object) -> object:
        for _ in range(8):
            if not isinstance(value, Ref):
                return value
            value = _parsed(self._data, self._begin(value.number))[0] if value.number in self._places else None
        return None

    def _dict(self, value: object) -> dict[str, Any]:
        found = self._follow(value)
        return found if isinstance(found, dict) else {}

    def _list(self, value: object) -> list[Any]:
        found = self._follow(value)
        return found if isinstance(found, list) else []


def _parsed(data: bytes, at: int) -> tuple[object, int]:
    """Return the object that is written at a place, and where it ends: lists and dicts hold others, names are str.

    Strings are bytes, numbers floats, references :class:`Ref`; what makes no sense is None.
    """
    stack: list[list[Any]] = [[]]
    ends: list[bool] = []
    while True:
        token = _TOKEN.match(data, at)
        if token is None or len(stack) > _DEEPEST:
            return None, at
        at = token.end()
        match token.lastgroup:
            case "open":
                stack.append([])
                ends.append(token["open"] == b"<<")
            case "shut":
                if not ends:
                    return None, at
                held = stack.pop()
                if ends.pop():
                    pairs = zip(held[::2], held[1::2], strict=False)
                    stack[-1].append({k: v for k, v in pairs if isinstance(k, str)})
                else:
                    stack[-1].append(held)
            case "name":
                name = re.sub(rb"#([0-9A-Fa-f]{2})", lambda m: bytes([int(m[1], 16)]), token["name"])
                stack[-1].append(name.decode("latin-1"))
            case "ref":
                stack[-1].append(Ref(int(token["ref"].split()[0])))
            case "number":
                stack[-1].append(float(token["number"]))
            case "string":
                text, at = _string(data, at)
                stack[-1].append(text)
            case "hex":
                digits = b"".join(token["hex"].split())
                stack[-1].append(bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii")))
            case _:
                stack[-1].append(None)
        if not ends:
            return stack[0][0], at


def _string(data: bytes, at: int) -> tuple[bytes, int]:
    """Return a string that began before a place, and where it ends."""
    out = bytearray()
    depth = 1
    marks = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f", b"\n": b""}
    while at < len(data):
        sign = data[at : at + 1]
        at += 1
        if sign == b"\\":
            octal = re.compile(rb"[0-7]{1,3}").match(data, at)
            if octal:
                out.append(int(octal[0], 8) & 255)
                at = octal.end()
            else:
                out += marks.get(data[at : at + 1], data[at : at + 1])
                at += 1
            continue
        depth += {b"(": 1, b")": -1}.get(sign, 0)
        if depth == 0:
            break
        out += sign
    return bytes(out), at


def text_of(name: bytes) -> str:
    """Return a text string of a PDF: UTF-16 or UTF-8 with its mark, else taken as Latin letters."""
    if name[:2] in {b"\xfe\xff", b"\xff\xfe"}:
        return name.decode("utf-16", "replace")
    return name.decode("utf-8-sig", "replace") if name.startswith(b"\xef\xbb\xbf") else name.decode("latin-1")
