"""What kind of file lies there, and what it holds: the one door for everything that comes from outside."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Final, Literal

from layoutdesk.errors import FileError
from layoutdesk.importers.linework import Linework, Progress
from layoutdesk.importers.proposal import Proposal, ScaleGuess
from layoutdesk.plan.whole import shown

FileKind = Literal["plan", "dxf", "pdf", "picture", "points"]

_HEAD: Final = 64 * 1024
_BINARY_LENGTH, _BINARY_END = 22, b" Binary DXF\r\n\x1a\x00"
_PICTURES: Final = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"GIF87a", b"GIF89a", b"BM", b"II*\x00", b"MM\x00*")
_ENDINGS: Final[dict[str, FileKind]] = {
    ".json": "plan",
    ".dxf": "dxf",
    ".dwg": "dxf",
    ".pdf": "pdf",
    **dict.fromkeys((".csv", ".tsv", ".txt"), "points"),
    **dict.fromkeys((".png", ".jpg", ".jpeg", ".gif", ".bmp", ".tif", ".tiff", ".webp"), "picture"),
}
_UNTIL_READ: Final = 0.7


def kind_of(path: Path) -> FileKind | None:
    """Return what kind of file it is: by what is in it, and where that does not say, by its ending.

    A file that cannot be read, or a DWG, is of the kind that its ending says, so that its reader tells the trouble.
    """
    try:
        # Only an ordinary file: reading a pipe would wait for ever.
        with path.open("rb") if path.is_file() else BytesIO() as file:
            head = file.read(_HEAD)
    except (OSError, ValueError):
        head = b""
    return _by_content(head) or _ENDINGS.get(path.suffix.lower())


def is_binary_dxf(head: bytes) -> bool:
    """Return whether a file begins as a binary DXF does."""
    return head[:_BINARY_LENGTH].endswith(_BINARY_END)


def read_linework(path: Path, *, page: int = 1, layout: str = "", tell: Progress | None = None) -> Linework:
    """Return what a DXF or PDF draws.

    Args:
        path: the file.
        page: which page of a PDF, from 1.
        layout: which sheet of a DXF; by itself its model.
        tell: is told how much is done, from 0 to 1; what it raises ends the work.

    Raises:
        FileError: when it is neither, or cannot be read.
    """
    kind = kind_of(path)
    if kind == "dxf":
        from layoutdesk.importers.dxf import read_dxf

        return read_dxf(path, layout=layout, tell=tell)
    if kind == "pdf":
        from layoutdesk.importers.pdf import read_pdf

        return read_pdf(path, page=page, tell=tell)
    raise FileError(f"{shown(path)}: it is neither a DXF nor a PDF; ask for the drawing as one of these")


def propose_file(path: Path, *, unit: float | None = None, tell: Progress | None = None) -> Proposal:
    """Return what the program would make of a DXF, the first page of a PDF, or a list of points.

    Args:
        path: the file.
        unit: millimetres on the ground of one of its units; by itself what the file or its dimensions say.
        tell: is told how much is done, from 0 to 1; what it raises ends the work.

    Raises:
        FileError: when it is of another kind, or cannot be read.
    """
    if kind_of(path) == "points":
        from layoutdesk.importers.points import read_points_file

        return read_points_file(path, unit=unit, tell=tell)
    from layoutdesk.importers.recognise import propose

    linework = read_linework(path, tell=None if tell is None else lambda share: tell(_UNTIL_READ * share))
    scale = None if unit is None else ScaleGuess(scale=unit, why="as it was asked for")
    proposal = propose(linework, scale)
    if tell is not None:
        tell(1.0)
    return proposal


def _by_content(head: bytes) -> FileKind | None:
    if head.startswith(_PICTURES) or (head[:4] == b"RIFF" and head[8:12] == b"WEBP"):
        return "picture"
    if b"%PDF-" in head[:1024]:
        return "pdf"
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    if text.startswith(b"{"):
        return "plan"
    if _is_dxf(text):
        return "dxf"
    return None


def _is_dxf(text: bytes) -> bool:
    """Return whether a file begins as a DXF does: with a section, after comments perhaps, or as a binary one."""
    lines = text[:4096].split(b"\n")
    pairs = [(lines[k].strip(), lines[k + 1].strip()) for k in range(0, len(lines) - 1, 2)]
    for code, value in pairs:
        if code != b"999":
            if (code, value) == (b"0", b"SECTION"):
                return True
            break
    return is_binary_dxf(text)
