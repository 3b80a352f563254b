"""Openings on the plan drawing: their outlines, and hidden the cuts that part them into pieces."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from layoutdesk.engine.layout import Opening
from layoutdesk.sheets.drawing_marks import Stroke


def opening_strokes(openings: Iterable[Opening]) -> Iterator[Stroke]:
    """Yield what is sawn out of existing concrete."""
    for opening in openings:
        yield Stroke(opening.outline, "opening", closed=True)
        for cut in opening.inner:
            yield Stroke(cut.points, "opening", hidden=True)
