"""PDF files written by hand: the bytes of a page as the standard has them, and nothing that a library adds."""

from __future__ import annotations

import zlib

MM = 72 / 25.4
"""Points in a millimetre."""

FONT = b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>"


def pdf_file(*objects: bytes, trailer: bytes = b"") -> bytes:
    """Return a file of these objects, numbered from 1; the first is the catalogue."""
    out = bytearray(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
    places = []
    for number, body in enumerate(objects, start=1):
        places.append(len(out))
        out += b"%d 0 obj\n" % number + body + b"\nendobj\n"
    table = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % place for place in places)
    out += b"trailer\n<< /Size %d /Root 1 0 R %s >>\n" % (len(objects) + 1, trailer)
    out += b"startxref\n%d\n%%%%EOF\n" % table
    return bytes(out)


def stream(data: bytes, entries: bytes = b"", *, packed: bool = False) -> bytes:
    """Return a stream object."""
    if packed:
        data, entries = zlib.compress(data), entries + b" /Filter /FlateDecode"
    return b"<< /Length %d %s >>\nstream\n" % (len(data), entries) + data + b"\nendstream"


def one_page(
    content: bytes,
    *,
    box: bytes = b"0 0 612 792",
    page: bytes = b"",
    resources: bytes = b"",
    catalogue: bytes = b"",
    more: tuple[bytes, ...] = (),
    packed: bool = False,
) -> bytes:
    """Return a file of one page. Objects of ``more`` are numbered from 6; the typeface is ``/F1``, object 5."""
    return pdf_file(
        b"<< /Type /Catalog /Pages 2 0 R %s >>" % catalogue,
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [%s] /Contents 4 0 R "
        b"/Resources << /Font << /F1 5 0 R >> %s >> %s >>" % (box, resources, page),
        stream(content, packed=packed),
        FONT,
        *more,
    )
