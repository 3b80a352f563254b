"""The program's second process: reads drawings, makes pages and tables, proves measures; the desk never waits.

It is told what to do in lines of JSON on standard input, and answers on standard output: a line of JSON, then
as many bytes as that line says. Before the answer may come lines that only say how much is done, from 0 to 1. It
knows no Qt. It ends when its input ends, and may be ended at any moment: it writes no file.
"""

from __future__ import annotations

import json
import os
import sys
import time
import traceback
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, BinaryIO, Final

from layoutdesk.errors import ExportError, LayoutdeskError
from layoutdesk.session.incoming_tasks import Answer, IncomingTasks

if TYPE_CHECKING:
    from pypdfium2 import PdfDocument

    from layoutdesk.engine.layout import Layout
    from layoutdesk.importers.linework import Progress

MOST_PIXELS: Final = 40_000_000
"""A picture of a page is never larger: a mistyped zoom must not ask for all memory."""
TOLD_EVERY_S: Final = 0.05
"""How much is done is told so often at most."""


class PageMaker:
    """Keeps the last plan's Layout and PDF, so that showing one more page costs only that page."""

    def __init__(self) -> None:
        self._plan_text = ""
        self._layout: Layout | None = None
        self._pdf = b""
        self._opened: PdfDocument | None = None
        self._incoming = IncomingTasks()
        self._tasks: dict[str, Callable[[dict[str, Any]], Answer]] = {
            "pdf": self._make_pdf,
            "page": self._draw_page,
            "dxf": self._make_dxf,
            "csv": self._make_csv,
        }

    def carry_out(self, order: dict[str, Any], tell: Progress) -> Answer:
        """Return what an order asks for, telling how much is done meanwhile.

        Raises:
            LayoutdeskError: when it cannot be made; its sentence is for the person.
        """
        if (task := self._incoming.tasks.get(order["task"])) is not None:
            return task(order, tell)
        if order["task"] == "proof":
            return self._prove(order, tell)
        return self._tasks[order["task"]](order)

    def _of(self, plan_text: str) -> Layout:
        if self._layout is None or plan_text != self._plan_text:
            from layoutdesk.engine.derive import derive
            from layoutdesk.plan.file import plan_from_json

            self._layout, self._plan_text = derive(plan_from_json(plan_text, "the plan")), plan_text
        return self._layout

    def _make_pdf(self, order: dict[str, Any]) -> Answer:
        from layoutdesk.exporters.pdf import write_pdf
        from layoutdesk.sheets.book import stake_out_set

        sheets = stake_out_set(self._of(order["plan"]), paper=order["paper"])
        self._close()
        self._pdf = write_pdf(sheets)
        pages = [{"name": page.name, "size": page.size} for page in sheets.pages]
        return {"pages": pages}, self._pdf

    def _draw_page(self, order: dict[str, Any]) -> Answer:
        page = self._document()[order["page"]]
        width, height = page.get_size()
        scale = min(order["width"] / width, (MOST_PIXELS / (width * height)) ** 0.5)
        image = page.render(scale=scale, rev_byteorder=True, prefer_bgrx=True)
        about = {"page": order["page"], "width": image.width, "height": image.height, "stride": image.stride}
        pixels = bytes(image.buffer)
        image.close()
        page.close()
        return about, pixels

    def _document(self) -> PdfDocument:
        if self._opened is None:
            if not self._pdf:
                raise ExportError("the pages have not been made yet")
            import pypdfium2

            self._opened = pypdfium2.PdfDocument(self._pdf)
        return self._opened

    def _close(self) -> None:
        if self._opened is not None:
            self._opened.close()
            self._opened = None

    def _prove(self, order: dict[str, Any], tell: Progress) -> Answer:
        from layoutdesk.session.proof_tasks import found_to_bytes, proof_found

        return {}, found_to_bytes(proof_found(self._of(order["plan"]), choose=order["choose"], tell=tell))

    def _make_dxf(self, order: dict[str, Any]) -> Answer:
        from layoutdesk.exporters.dxf import write_dxf
        from layoutdesk.sheets.drawing import plan_drawing

        return {}, write_dxf(plan_drawing(self._of(order["plan"])))

    def _make_csv(self, order: dict[str, Any]) -> Answer:
        from layoutdesk.exporters.tables import points_csv

        return {}, points_csv(self._of(order["plan"])).encode()


class Teller:
    """Tells how much of an order is done, not too often."""

    def __init__(self, answers: BinaryIO, number: int) -> None:
        self._answers, self._number = answers, number
        self._next = 0.0

    def __call__(self, done: float) -> None:
        """Tell that so much is done, from 0 to 1."""
        now = time.monotonic()
        if now >= self._next:
            self._next = now + TOLD_EVERY_S
            line = json.dumps({"number": self._number, "progress": min(1.0, max(0.0, done))})
            self._answers.write(line.encode() + b"\n")
            self._answers.flush()


def serve(orders: BinaryIO, answers: BinaryIO) -> None:
    """Carry out orders until there are no more."""
    maker = PageMaker()
    for line in orders:
        order = json.loads(line)
        try:
            about, work = maker.carry_out(order, Teller(answers, order["number"]))
        except LayoutdeskError as error:
            about, work = {"trouble": str(error)}, b""
        except Exception as error:  # noqa: BLE001 - whatever it is, the desk must be told and stay up
            traceback.print_exc()
            about = {"trouble": f"A fault of the program: {type(error).__name__}: {error}"}
            work = b""
        head = {"number": order["number"], "bytes": len(work), **about}
        answers.write(json.dumps(head).encode() + b"\n" + work)
        answers.flush()


def main() -> None:
    """Serve on standard input and output; whatever a library prints goes to standard error instead."""
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    serve(sys.stdin.buffer, answers)


if __name__ == "__main__":
    main()
