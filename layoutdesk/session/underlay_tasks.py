"""What the second process does for what lies under the sheet: looks a PDF over, and reads the lines of a page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from layoutdesk.importers.linework import Progress

Answer = tuple[dict[str, Any], bytes]


def page_facts(order: dict[str, Any], _: Progress) -> Answer:
    """Return how many pages a PDF has, and how large one of them is in points."""
    from layoutdesk.importers.pdf import page_count, page_size

    path = Path(order["path"])
    return {"pages": page_count(path), "page": order["page"], "size": page_size(path, order["page"])}, b""


def trace(order: dict[str, Any], tell: Progress) -> Answer:
    """Return the lines and centres of a page as columns."""
    from layoutdesk.importers.pdf import read_pdf
    from layoutdesk.session.traced import traced_bytes

    lines, centres, data = traced_bytes(read_pdf(Path(order["path"]), page=order["page"], tell=tell))
    return {"lines": lines, "centres": centres}, data
