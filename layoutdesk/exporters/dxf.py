"""A plan drawing as a DXF file."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager

from layoutdesk.sheets.drawing_marks import Drawing


def write_dxf(drawing: Drawing) -> bytes:
    """Return the drawing as an ASCII DXF file of release R2013, in millimetres.

    The same drawing always gives the same bytes. The plan lies in model space in its own axes; one paper layout
    shows it at the drawing's scale.
    """
    from layoutdesk.exporters.dxf_document import document_of

    with _no_clock():
        document = document_of(drawing)
        stream = io.StringIO()
        document.write(stream)
        return document.encode(stream.getvalue())


@contextmanager
def _no_clock() -> Iterator[None]:
    """Keep times, random ids and versions out of the file while it is written.

    The library offers this as an option of the whole process, so that it is put back as it was.
    """
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
