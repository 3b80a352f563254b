"""DXF files that the tests make with the library: saved in any release, as text or binary, and read by us."""

from __future__ import annotations

import io
from pathlib import Path

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.layouts import Modelspace

from layoutdesk.importers.dxf import read_dxf
from layoutdesk.importers.linework import Linework

RELEASES = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")
NONE, INCH, FOOT, MM, CM, M = 0, 1, 2, 4, 5, 6
SIZES = {NONE: None, INCH: 25.4, FOOT: 304.8, MM: 1.0, CM: 10.0, M: 1000.0}


def new(release: str = "R2010", unit: int = MM) -> tuple[Document, Modelspace]:
    """Return an empty document and its model."""
    document = ezdxf.new(release, units=unit)
    return document, document.modelspace()


def text_of(document: Document) -> bytes:
    """Return a document as the bytes of a file of text."""
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode(document.output_encoding, errors="dxfreplace")


def binary_of(document: Document) -> bytes:
    """Return a document as the bytes of a binary file."""
    stream = io.BytesIO()
    document.write(stream, fmt="bin")
    return stream.getvalue()


def read_bytes(folder: Path, data: bytes, *, layout: str = "") -> Linework:
    """Return what we read in these bytes."""
    path = folder / "drawing.dxf"
    path.write_bytes(data)
    return read_dxf(path, layout=layout)


def read_again(folder: Path, document: Document, *, layout: str = "") -> Linework:
    """Return what we read in a document that the library saves as text."""
    return read_bytes(folder, text_of(document), layout=layout)
