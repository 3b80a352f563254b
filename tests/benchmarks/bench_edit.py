"""From an edit to everything on the screen right again: the whole desk with 500 piers, within one frame."""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from itertools import cycle
from statistics import median

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication

from layoutdesk.app import build
from layoutdesk.desk.desk import Desk
from layoutdesk.desk.dialogs.answers import Dialogs
from layoutdesk.plan import edits
from layoutdesk.session.viewstate import Page
from tests.benchmarks.big_plans import grid_plan
from tests.benchmarks.ratio import Row

FRAME_MS = 16.0
PAGES: tuple[Page, ...] = ("plan", "control", "stakes", "piers", "buy")
EDITS = 40
TIMES_OVER = 3
"""How often the events are let run after an edit: work that was put off belongs to it too."""


class Paintings(QObject):
    """Counts how often a widget is painted."""

    count = 0

    def eventFilter(self, _: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """Count and let pass."""
        self.count += event.type() == QEvent.Type.Paint
        return False


@contextmanager
def desk() -> Iterator[Desk]:
    """Give the whole desk, awake, with 500 piers and settings of its own."""
    with tempfile.TemporaryDirectory() as home:
        os.environ.update(dict.fromkeys(("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"), home))
        application = QApplication.instance() or QApplication(["layoutdesk"])
        assert isinstance(application, QApplication)
        window = build(application, Dialogs())
        window.window.resize(1600, 1000)
        window.window.show()
        application.processEvents()
        window.begin(None)
        window.document.replace(grid_plan(500), None)
        window.sheet.zoom_to_fit()
        application.processEvents()
        yield window
        window.document.mark_saved(window.document.path)  # type: ignore[arg-type]  # so that closing asks nothing
        window.window.close()
        application.processEvents()


def rows() -> list[Row]:
    """Return a row for every page of the notebook that is open meanwhile."""
    found = []
    with desk() as window:
        paintings = Paintings()
        window.sheet.installEventFilter(paintings)
        there_and_back = cycle(((250.0, 0.0), (-250.0, 0.0)))
        for page in PAGES:
            window.view.turn_to(page)
            QApplication.processEvents()
            times = []
            for _ in range(EDITS):
                by, seen = next(there_and_back), paintings.count
                start = time.perf_counter()
                window.document.apply("Move P217", partial(edits.move, ids=["P217"], by=by))
                for _ in range(TIMES_OVER):
                    QApplication.processEvents()
                times.append((time.perf_counter() - start) * 1000)
                assert paintings.count > seen, "the sheet was not painted"
            work = f"edit → screen, page {page.capitalize()}"
            found.append(Row(work, "500 piers", "one frame", FRAME_MS, median(times), 1.0))
    return found
