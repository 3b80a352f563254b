"""How large a picture is and how it is turned, read from its head: nothing is decoded before it is known to fit.

Heads are read as their standards have them: PNG (ISO/IEC 15948), JPEG (ITU-T T.81), TIFF 6.0, WebP (RFC 9649), the
turn of a camera from Exif (tag 274); BMP from memory.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO, Final, Literal, NamedTuple

from layoutdesk.errors import FileError

PictureKind = Literal["png", "jpeg", "tiff", "bmp", "webp"]

MOST_PIXELS: Final = 100_000_000
"""Pixels of four bytes, and the smaller copies that zooming needs (a third more), then take 533 MB."""
LONGEST_SIDE: Final = 32_767
"""No side may have more pixels: painting counts in 16 bits."""

_PARTS: Final = {2: "half the size", 3: "a third of the size", 4: "a quarter of the size", 5: "a fifth of the size"}
_MOST_STEPS: Final = 4096
_ORIENTATION: Final = 274


class PictureFacts(NamedTuple):
    """What the head of a picture says.

    ``width`` and ``height`` are in pixels as it is shown. ``turn`` is how its camera says it is to be shown, from 1
    (as it is) to 8, as Exif counts: 3, 6 and 8 are turned, 2, 4, 5 and 7 mirrored.
    """

    width: int
    height: int
    kind: PictureKind
    turn: int = 1

    @property
    def turned(self) -> bool:
        """Return whether it is to be shown otherwise than it is stored."""
        return self.turn != 1


class _BrokenHeadError(Exception):
    """The head ends too soon or contradicts itself."""


def picture_kind(head: bytes) -> PictureKind | None:
    """Return what kind of picture begins with these bytes (at least 12), or None."""
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if head.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if head[:4] in {b"II*\0", b"MM\0*"}:
        return "tiff"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "webp"
    # Two letters alone would make a bitmap of many a text file: its next header has a size that is known.
    if head[:2] == b"BM" and len(head) >= 18 and int.from_bytes(head[14:18], "little") in _BMP_HEADS:
        return "bmp"
    return None


def picture_facts(path: Path) -> PictureFacts:
    """Return size, kind and turn of a picture.

    Raises:
        FileError: when it cannot be read, is none of the five kinds, is damaged at its head, or is too large.
    """
    try:
        found = path.is_file()
        head = b""
        if found:
            with path.open("rb") as file:
                head = file.read(18)
    except (OSError, ValueError) as error:  # ValueError: a name with a null character
        raise FileError(f"{path.name}: it cannot be read; choose it again") from error
    if not found:
        raise FileError(f"{path.name}: there is no such file; choose it again")
    kind = picture_kind(head)
    if kind is None:
        raise FileError(f"{path.name}: it is no picture; choose a PNG, JPEG, TIFF, BMP or WebP file")
    try:
        with path.open("rb") as file:
            width, height, turn = _HEADS[kind](file)
    except (_BrokenHeadError, struct.error, OSError, OverflowError, ValueError) as error:
        raise FileError(f"{path.name}: its beginning is damaged; save or send it again") from error
    if width < 1 or height < 1:
        raise FileError(f"{path.name}: it says that it has no pixels; save or send it again")
    turn = turn if 1 <= turn <= 8 else 1
    if turn >= 5:
        width, height = height, width
    least = max(math.ceil(math.sqrt(width * height / MOST_PIXELS)), math.ceil(max(width, height) / LONGEST_SIDE))
    if least > 1:
        part = _PARTS.get(least, f"a {least}th of the size")
        raise FileError(f"{path.name}: {width:,} × {height:,} px is too large; save it at {part}")
    return PictureFacts(width, height, kind, turn)


def _take(file: BinaryIO, count: int) -> bytes:
    data = file.read(count)
    if len(data) < count:
        raise _BrokenHeadError
    return data


def _png(file: BinaryIO) -> tuple[int, int, int]:
    head = _take(file, 33)
    if head[8:16] != b"\0\0\0\rIHDR":
        raise _BrokenHeadError
    width, height = struct.unpack(">II", head[16:24])
    for _ in range(_MOST_STEPS):
        begun = file.read(8)
        if len(begun) < 8 or begun[4:] in {b"IDAT", b"IEND"}:
            break
        (size,) = struct.unpack(">I", begun[:4])
        if begun[4:] == b"eXIf":
            return width, height, _exif_turn(file.read(min(size, 1 << 20)))
        file.seek(size + 4, 1)
    return width, height, 1


def _jpeg(file: BinaryIO) -> tuple[int, int, int]:
    turn = 1
    file.seek(2)
    for _ in range(_MOST_STEPS):
        if _take(file, 1) != b"\xff":
            raise _BrokenHeadError
        marker = 0xFF
        while marker == 0xFF:  # filling
            marker = _take(file, 1)[0]
        if marker == 0x01 or 0xD0 <= marker <= 0xD8:
            continue  # these have no length
        (size,) = struct.unpack(">H", _take(file, 2))
        if size < 2 or marker in {0xD9, 0xDA}:
            break  # the picture begins, and no frame has told its size
        if 0xC0 <= marker <= 0xCF and marker not in {0xC4, 0xC8, 0xCC}:
            height, width = struct.unpack(">HH", _take(file, 5)[1:])
            return width, height, turn
        if marker == 0xE1:
            data = _take(file, size - 2)
            if data.startswith(b"Exif\0\0") and turn == 1:
                turn = _exif_turn(data[6:])
        else:
            file.seek(size - 2, 1)
    raise _BrokenHeadError


def _tiff(file: BinaryIO) -> tuple[int, int, int]:
    head = _take(file, 8)
    order = "<" if head.startswith(b"II") else ">"
    (start,) = struct.unpack(order + "I", head[4:])
    file.seek(start)
    (count,) = struct.unpack(order + "H", _take(file, 2))
    tags = _tags(_take(file, 12 * count), order)
    if 256 not in tags or 257 not in tags:
        raise _BrokenHeadError
    return tags[256], tags[257], tags.get(_ORIENTATION, 1)


def _tags(entries: bytes, order: str) -> dict[int, int]:
    """Return the tags of a TIFF directory that hold one short or long whole number."""
    tags: dict[int, int] = {}
    for at in range(0, len(entries) - 11, 12):
        tag, form, count = struct.unpack_from(order + "HHI", entries, at)
        if count == 1 and form in {3, 4}:
            (tags[tag],) = struct.unpack_from(order + ("H" if form == 3 else "I"), entries, at + 8)
    return tags


def _exif_turn(data: bytes) -> int:
    """Return the turn that Exif data tell; 1 where they make no sense, for the picture is good without."""
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(data[:4])
    if order is None or len(data) < 10:
        return 1
    (start,) = struct.unpack_from(order + "I", data, 4)
    if start + 2 > len(data):
        return 1
    (count,) = struct.unpack_from(order + "H", data, start)
    turn = _tags(data[start + 2 : start + 2 + 12 * count], order).get(_ORIENTATION, 1)
    return turn if 1 <= turn <= 8 else 1


_BMP_HEADS: Final = frozenset({12, 40, 52, 56, 64, 108, 124})


def _bmp(file: BinaryIO) -> tuple[int, int, int]:
    head = _take(file, 26)
    if int.from_bytes(head[14:18], "little") == 12:
        width, height = struct.unpack("<HH", head[18:22])
    else:
        width, height = struct.unpack("<ii", head[18:26])
    return width, abs(height), 1  # a height below 0 counts rows from the top


def _webp(file: BinaryIO) -> tuple[int, int, int]:
    head = _take(file, 30)
    match head[12:16]:
        case b"VP8X":
            width, height = (1 + int.from_bytes(head[at : at + 3], "little") for at in (24, 27))
            return width, height, _webp_turn(file) if head[20] & 0x08 else 1
        case b"VP8L" if head[20] == 0x2F:
            bits = int.from_bytes(head[21:25], "little")
            return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF), 1
        case b"VP8 " if head[23:26] == b"\x9d\x01\x2a":
            width, height = struct.unpack("<HH", head[26:30])
            return width & 0x3FFF, height & 0x3FFF, 1
        case _:
            raise _BrokenHeadError


def _webp_turn(file: BinaryIO) -> int:
    file.seek(12)
    for _ in range(_MOST_STEPS):
        begun = file.read(8)
        if len(begun) < 8:
            break
        size = int.from_bytes(begun[4:], "little")
        if begun[:4] == b"EXIF":
            data = file.read(min(size, 1 << 20))
            return _exif_turn(data.removeprefix(b"Exif\0\0"))
        file.seek(size + size % 2, 1)
    return 1


_HEADS: Final[dict[PictureKind, Callable[[BinaryIO], tuple[int, int, int]]]] = {
    "png": _png,
    "jpeg": _jpeg,
    "tiff": _tiff,
    "bmp": _bmp,
    "webp": _webp,
}
