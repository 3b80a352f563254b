"""The bytes of a DXF to the library's document: text or binary, broken ones mended as far as that goes.

A file is first read strictly. Only what fails then is mended: a file that ends too early is closed after its last
whole thing, commas in numbers become points, and the library's own recovery has the rest. Recovery alone would
take half a file, or one of another kind, for an empty drawing.
"""

from __future__ import annotations

import io
import logging
import re
import struct
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import dxf_stream_info
from ezdxf.lldxf.const import DXFError
from ezdxf.lldxf.loader import load_dxf_structure
from ezdxf.lldxf.tagger import ascii_tags_loader, binary_tags_loader, tag_compiler
from ezdxf.recover import Recover

from layoutdesk.errors import FileError
from layoutdesk.importers.dxf_plain import Plain, Taken, take_plain
from layoutdesk.importers.linework import MOST_SHAPES, Progress
from layoutdesk.importers.reading import is_binary_dxf

MOST_BYTES: Final = 64 * 1024 * 1024
"""The largest file that is read: one of fifty million bytes takes half a thousand million of memory."""

MOST_TAGS: Final = 6_000_000
"""The most pairs of code and value; with more, the library would hold over a thousand million bytes."""

MOST_THINGS: Final = 2 * MOST_SHAPES
"""The most things of any kind, corners of old polylines among them; each takes a thousand bytes."""

_BREAKS = (
    DXFError,
    ArithmeticError,
    AssertionError,
    AttributeError,
    EOFError,
    LookupError,
    RecursionError,
    TypeError,
    ValueError,
    struct.error,
)
"""What the library raises over a broken file."""

_READ, _BOUND = 0.5, 1.0
_STEP: Final = 1 << 16
_LARGE: Final = 1 << 24  # what is smaller cannot hold too many things
_PARTS: Final = frozenset({"VERTEX", "SEQEND", "ATTRIB"})
_START: Final = re.compile(rb"(?:^|\n)[ \t]*0[ \t]*\r?\n[ \t]*SECTION[ \t]*\r?\n")
_THING: Final = re.compile(rb"(?:\A|\n)[ \t]*0[ \t]*\r?\n[ \t]*((?:3D)?[A-Z][A-Z0-9_]*)[ \t]*\r?\n")
_END: Final = b"\n  0\nEOF\n"
_TAIL: Final = b"\n  0\nENDSEC" + _END
_COMMA: Final = re.compile(
    rb"((?:\A|\n)[ \t]*(?:[1-5]\d|1[1-4]\d|2[1-3]\d|46\d|10[1-5]\d)[ \t]*\r?\n[ \t]*[-+]?\d*)"
    rb",(\d+(?:[eE][-+]?\d+)?[ \t]*\r?)(?=\n)"
)
_BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"

logging.getLogger("ezdxf").addHandler(logging.NullHandler())  # what it finds is told in notes, not on the terminal


@dataclass(frozen=True, slots=True)
class Loaded:
    """A file as the library holds it, the plain things of its model besides, and sentences about its state."""

    document: Document
    plain: tuple[Plain, ...] = ()
    notes: tuple[str, ...] = ()


def load(path: Path, name: str, tell: Progress) -> Loaded:
    """Return what a DXF file holds.

    Args:
        path: where it is.
        name: what it is called in sentences.
        tell: is told how much is done, from 0 to 1.

    Raises:
        FileError: when it is no DXF, too large, or broken beyond mending.
    """
    data = _bytes_of(path, name)
    if is_binary_dxf(data):
        return _load_binary(data, name, tell)
    return _load_text(_from_first_section(data, name), name, tell)


def _bytes_of(path: Path, name: str) -> bytes:
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= MOST_BYTES else b""
    except (OSError, ValueError) as error:
        trouble = getattr(error, "strerror", None) or "its name is not possible"
        raise FileError(
            f"{name}: it cannot be read ({trouble}); check the name and whether you may read it"
        ) from None
    if size > MOST_BYTES:
        raise FileError(
            f"{name}: it is larger than {MOST_BYTES >> 20} MB; "
            "save only the part with the footing plan as a DXF of its own"
        )
    if not data.strip():
        raise FileError(f"{name}: it is empty; ask for the drawing again")
    return data


def _from_first_section(data: bytes, name: str) -> bytes:
    """Return a file of text without what stands before its first section; refuse what is another kind of file."""
    head = data[:6]
    if re.match(rb"AC[12]\d\d\d", head):
        raise FileError(f"{name}: it is a DWG and no DXF, whatever its name says; save it as DXF")
    if head.startswith((b"PK\x03\x04", b"\x1f\x8b", b"7z\xbc\xaf", b"Rar!")):
        raise FileError(f"{name}: it is packed or locked; unpack it and open the DXF that is in it")
    if head.startswith(b"%PDF"):
        raise FileError(f"{name}: it is a PDF and no DXF, whatever its name says; change its ending to .pdf")
    start = _START.search(data.removeprefix(_BYTE_ORDER_MARK))
    if start is None:
        raise FileError(f"{name}: it is no DXF; ask for the drawing as a DXF")
    return start.string[start.start() :].lstrip(b"\n")


def _load_text(data: bytes, name: str, tell: Progress) -> Loaded:
    """Read a DXF of text."""
    if data.count(b"\n") > 2 * MOST_TAGS or (
        len(data) > _LARGE and sum(1 for _ in _THING.finditer(data)) > MOST_THINGS
    ):
        raise too_much(name)
    notes: list[str] = []
    if b"EOF" in data[-64:]:
        try:
            return _strict_text(data, name, tell, ())
        except _BREAKS:
            pass_on = data
    else:
        notes.append("The file ends too early: what stood after its end is lost.")
        pass_on = _closed(data)
    mended = _COMMA.sub(rb"\1.\2", pass_on)
    if mended != pass_on:
        notes.append("Its numbers are written with commas; they were read as decimals.")
    if mended is not data:
        try:
            return _strict_text(mended, name, tell, tuple(notes))
        except _BREAKS:
            pass_on = mended
    try:
        found = Recover.run(io.BytesIO(mended if b"EOF" in mended[-64:] else mended + _TAIL), errors="ignore")
        document = _bound(found.section_dict, name, tell)
    except _BREAKS:
        raise _beyond_mending(name) from None
    return Loaded(
        document, notes=(*notes, "The file is broken: it was mended as far as possible; check it with care.")
    )


def _load_binary(data: bytes, name: str, tell: Progress) -> Loaded:
    """Read a binary DXF; one that breaks off is closed after its last whole thing."""
    try:
        return Loaded(_strict(_binary_tags(data, name, tell), name, tell))
    except _BREAKS:
        notes = ("The file ends too early or is broken: what stood after that place is lost.",)
    try:
        return Loaded(_strict(_whole_things(_binary_tags(data, name, tell)), name, tell), notes=notes)
    except _BREAKS:
        raise _beyond_mending(name) from None


def too_much(name: str) -> FileError:
    """Return the refusal of a drawing that holds more than any footing plan."""
    return FileError(
        f"{name}: it draws more than {MOST_SHAPES:,} lines, texts and blocks; "
        "save only the part with the footing plan as a DXF of its own"
    )


def _beyond_mending(name: str) -> FileError:
    return FileError(f"{name}: it is broken and nothing in it can be read; ask for the drawing again")


def _strict(tags: Iterable[Any], name: str, tell: Progress) -> Document:
    return _bound(load_dxf_structure(tag_compiler(iter(tags))), name, tell)


def _bound(sections: dict[str, Any], name: str, tell: Progress) -> Document:
    """Return the document that the library makes of its sections."""
    sections.pop("THUMBNAILIMAGE", None)
    entities = sections.get("ENTITIES", [])
    whole = sum(len(section) for section in sections.values())
    if whole > MOST_THINGS or sum(1 for tags in entities if tags[0].value not in _PARTS) > MOST_SHAPES + 2:
        raise too_much(name)
    has_header = "HEADER" in sections
    before = 0
    for key, section in sections.items():
        sections[key] = _Told(section, before, whole, tell)
        before += len(section)
    document = Document()
    document._load_section_dict(sections)  # noqa: SLF001 - as the library's own recovery does
    if not has_header:
        # The library then takes its own for it, which speaks of metres.
        for variable in ("$INSUNITS", "$MEASUREMENT"):
            document.header.hdrvars.pop(variable, None)
    return document


class _Told(list[Any]):
    """A section that tells how far the library has got with it when it first goes through."""

    def __init__(self, things: Iterable[Any], before: int, whole: int, tell: Progress) -> None:
        super().__init__(things)
        self._before, self._whole, self._tell = before, whole, tell
        self._told = False

    def __iter__(self) -> Iterator[Any]:
        if self._told or len(self) < 2:
            return super().__iter__()
        self._told = True
        return self._telling()

    def _telling(self) -> Iterator[Any]:
        for k, thing in enumerate(super().__iter__()):
            if not k % 2000:
                self._tell(_READ + (_BOUND - _READ) * (self._before + k) / self._whole)
            yield thing


class _Counted(io.BytesIO):
    """Bytes that tell how many of them were read."""

    def __init__(self, data: bytes, tell: Callable[[float], None]) -> None:
        super().__init__(data)
        self._size, self._say = len(data), tell

    def read1(self, size: int | None = -1, /) -> bytes:
        self._say(_READ * self.tell() / self._size)
        return super().read1(_STEP if size is None or size < _STEP else size)


def _strict_text(data: bytes, name: str, tell: Progress, notes: tuple[str, ...]) -> Loaded:
    """Return what a sound file of text holds: what is plain read by ourselves, the rest by the library."""
    info = dxf_stream_info(io.TextIOWrapper(io.BytesIO(data), encoding="utf-8", errors="ignore"))
    encoding = "utf-8" if _is_utf_8(data) else info.encoding
    try:
        taken = take_plain(data, encoding, MOST_SHAPES + 2, lambda share: tell(_READ * share))
    except ValueError:
        taken = Taken(rest=data)
    if len(taken.things) > MOST_SHAPES + 2:
        raise too_much(name)
    stream = io.TextIOWrapper(_Counted(taken.rest, tell), encoding=encoding, errors="replace")
    return Loaded(_strict(ascii_tags_loader(stream), name, tell), tuple(taken.things), notes)


def _is_utf_8(data: bytes) -> bool:
    """Return whether a file that names an older code is in UTF-8 all the same, as many writers leave it."""
    if data.isascii():
        return False
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _binary_tags(data: bytes, name: str, tell: Progress) -> Iterator[Any]:
    """Give the tags of a binary file; how far it is, is reckoned at ten bytes a tag."""
    things = 0
    for k, tag in enumerate(binary_tags_loader(data, errors="replace")):
        things += tag.code == 0
        if not k % 1024:
            if k > MOST_TAGS or things > MOST_THINGS:
                raise too_much(name)
            tell(min(_READ, _READ * 10 * k / len(data)))
        yield tag


def _whole_things(tags: Iterator[Any]) -> Iterator[Any]:
    """Give the tags of all whole things until the file breaks off, and then its end."""
    from ezdxf.lldxf.types import DXFTag

    held: list[Any] = []
    inside = False
    try:
        for tag in tags:
            if tag.code == 0 and held:
                inside = held[0].value != "ENDSEC"
                yield from held
                held = []
            held.append(tag)
    except _BREAKS:
        held = []
    if inside:
        yield DXFTag(0, "ENDSEC")
    yield DXFTag(0, "EOF")


def _closed(data: bytes) -> bytes:
    """Return a file that breaks off, closed after its last whole thing; the one that it breaks off in is lost."""
    start = max(0, len(data) - (1 << 20))
    last = None
    for last in _THING.finditer(data, start):  # noqa: B007 - the last one counts
        pass
    if last is None:
        return data + _TAIL
    return data[: last.start()] + (_END if last[1] in {b"SECTION", b"EOF"} else _TAIL)
