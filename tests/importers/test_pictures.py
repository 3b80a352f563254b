"""Heads of pictures: against another library's own files, and against heads that lie or end too soon."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from layoutdesk.errors import FileError
from layoutdesk.importers.pictures import PictureFacts, picture_facts, picture_kind

KINDS = ("png", "jpeg", "tiff", "bmp", "webp")


def made(kind: str, size: tuple[int, int] = (37, 23), *, turn: int = 1, **options: Any) -> bytes:
    """Return a picture as another library writes it."""
    exif = Image.Exif()
    exif[274] = turn
    out = io.BytesIO()
    extra = {"exif": exif} if turn != 1 else {}
    Image.new("RGB", size, (90, 120, 60)).save(out, kind, **extra, **options)
    return out.getvalue()


def facts(folder: Path, data: bytes, name: str = "yard.picture") -> PictureFacts:
    file = folder / name
    file.write_bytes(data)
    return picture_facts(file)


def png_head(width: int, height: int) -> bytes:
    body = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n\0\0\0\r" + body + struct.pack(">I", zlib.crc32(body))


@pytest.mark.parametrize("kind", KINDS)
def test_size_is_read_from_the_head(tmp_path: Path, kind: str) -> None:
    assert facts(tmp_path, made(kind)) == (37, 23, kind, 1)


@pytest.mark.parametrize("kind", ["png", "jpeg", "tiff", "webp"])
@pytest.mark.parametrize("turn", range(2, 9))
def test_turned_by_the_camera(tmp_path: Path, kind: str, turn: int) -> None:
    found = facts(tmp_path, made(kind, turn=turn))
    assert found == ((23, 37) if turn >= 5 else (37, 23)) + (kind, turn)
    assert found.turned


@pytest.mark.parametrize("options", [{"lossless": True}, {"lossless": False, "quality": 20}])
def test_both_codings_of_webp(tmp_path: Path, options: dict[str, Any]) -> None:
    assert facts(tmp_path, made("webp", (301, 299), **options))[:2] == (301, 299)


def test_other_forms_of_a_kind(tmp_path: Path) -> None:
    assert facts(tmp_path, made("jpeg", (640, 480), progressive=True))[:2] == (640, 480)
    short_bitmap = b"BM" + bytes(12) + struct.pack("<IHHHH", 12, 37, 23, 1, 24) + bytes(20)
    assert facts(tmp_path, short_bitmap) == (37, 23, "bmp", 1)
    from_the_top = bytearray(made("bmp"))
    from_the_top[22:26] = struct.pack("<i", -23)
    assert facts(tmp_path, bytes(from_the_top))[:2] == (37, 23)
    big_endian = b"MM\0*\0\0\0\x08\0\x02" + struct.pack(">HHIHHHHII", 256, 3, 1, 37, 0, 257, 4, 1, 23)
    assert facts(tmp_path, big_endian)[:2] == (37, 23)
    # A small picture inside the camera's data is not the picture.
    small = made("jpeg", (8, 6))
    whole = made("jpeg", (640, 480))
    inside = b"\xff\xe1" + struct.pack(">H", len(small) + 8) + b"Other\0" + small
    assert facts(tmp_path, whole[:2] + inside + whole[2:])[:2] == (640, 480)


@pytest.mark.parametrize(
    ("size", "advice"),
    [
        ((20_000, 20_000), "20,000 × 20,000 px is too large; save it at half the size"),
        ((25_000, 25_000), "a third of the size"),
        ((40_000, 10), "half the size"),
        ((1_000_000, 1_000_000), "a 100th of the size"),
    ],
)
def test_too_large_pictures_are_refused_before_they_are_decoded(
    tmp_path: Path, size: tuple[int, int], advice: str
) -> None:
    with pytest.raises(FileError, match=rf"^yard\.picture: .*{advice}"):
        facts(tmp_path, png_head(*size))


def test_largest_picture_is_taken(tmp_path: Path) -> None:
    assert facts(tmp_path, png_head(10_000, 10_000))[:2] == (10_000, 10_000)


@pytest.mark.parametrize("kind", KINDS)
def test_truncated_anywhere_gives_the_size_or_a_sentence(tmp_path: Path, kind: str) -> None:
    data = made(kind, (120, 90), turn=6 if kind != "bmp" else 1)
    told = 0
    for cut in (*range(min(len(data), 800)), *range(800, len(data), 997)):
        try:
            found = facts(tmp_path, data[:cut])
        except FileError as error:
            assert str(error).startswith("yard.picture: ")  # noqa: PT017  # either way is right, and no third
            told += 1
        else:
            assert sorted(found[:2]) == [90, 120]
    assert told >= 12


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "no picture"),
        (b"BMW and other words of a text", "no picture"),
        (png_head(0, 10), "no pixels"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\x0dJHDR" + bytes(20), "damaged"),
        (b"\xff\xd8\xff\xda\0\x08" + bytes(40), "damaged"),
        (b"\xff\xd8\xff\xc0\0\x11\x08\0\0\0\0" + bytes(40), "no pixels"),
        (b"II*\0\xff\xff\xff\xff" + bytes(40), "damaged"),
        (b"II*\0\x08\0\0\0\xff\xff" + bytes(40), "damaged"),
        (b"RIFF\x20\0\0\0WEBPVP9 " + bytes(40), "damaged"),
        (b"%PDF-1.7\n" + bytes(40), "no picture"),
    ],
)
def test_lying_heads_are_refused_with_a_sentence(tmp_path: Path, data: bytes, sentence: str) -> None:
    with pytest.raises(FileError, match=rf"^yard\.picture: .*{sentence}"):
        facts(tmp_path, data)


@given(st.sampled_from(KINDS), st.lists(st.tuples(st.integers(2, 200), st.integers(0, 255)), max_size=12))
def test_damaged_heads_never_break_anything(
    tmp_path_factory: pytest.TempPathFactory, kind: str, changes: list[tuple[int, int]]
) -> None:
    data = bytearray(made(kind, turn=6 if kind != "bmp" else 1))
    for at, value in changes:
        data[at % len(data)] = value
    try:
        found = facts(tmp_path_factory.mktemp("damaged"), bytes(data))
    except FileError as error:
        assert str(error).endswith(("again", "file", "size"))  # noqa: PT017  # either way is right, and no third
    else:
        assert found.width * found.height <= 100_000_000


def test_what_is_no_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="no such file"):
        picture_facts(tmp_path / "gone.png")
    with pytest.raises(FileError, match="no such file"):
        picture_facts(tmp_path)
    with pytest.raises(FileError, match="gone"):
        picture_facts(Path("gone\0.png"))


def test_kind_is_told_from_the_first_bytes() -> None:
    assert [picture_kind(made(kind)[:18]) for kind in KINDS] == list(KINDS)
    assert picture_kind(b"") is None
