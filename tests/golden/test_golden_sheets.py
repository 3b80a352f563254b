"""Every mark of every page of the samples, as it was last looked at and found good.

When a change of the pages is meant, look at them, then write the files anew with

    UPDATE_GOLDEN=1 python -m pytest tests/golden

and commit them with the change, so that the difference can be read.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import MISSING, fields
from pathlib import Path
from typing import Any

import pytest

from layoutdesk.plan.model import Paper
from layoutdesk.sheets.book import stake_out_set
from layoutdesk.sheets.marks import Mark, SheetSet, Stamp
from layoutdesk.units import LengthParts, write_parts
from tests.sheets.sheet_plans import CARPORT, NAMES, PORCH, STAKED, sample_layout

HERE = Path(__file__).parent
PAPERS: dict[str, Paper] = {PORCH: "letter", CARPORT: "a4", STAKED: "letter"}


def shown(value: Any) -> str:
    """Return a value of a mark: lengths to a hundredth of a millimetre, texts quoted."""
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".").replace("-0", "0") if abs(value) < 0.005 else f"{value:.2f}"
    if isinstance(value, tuple):
        return "(" + " ".join(shown(v) for v in value) + ")"
    if isinstance(value, LengthParts):
        return repr(write_parts(value))
    return repr(value) if isinstance(value, str) else str(value)


def written(mark: Mark) -> str:
    """Return a mark as one line: its kind, and its fields that are not as usual."""
    if isinstance(mark, Stamp):
        return f"Stamp {shown(mark.at)} {mark.stencil.name}"
    values = [
        shown(getattr(mark, f.name)) if f.default is MISSING else f"{f.name}={shown(getattr(mark, f.name))}"
        for f in fields(mark)
        if f.default is MISSING or getattr(mark, f.name) != f.default
    ]
    return f"{type(mark).__name__} {' '.join(values)}"


def lines_of(sheets: SheetSet) -> Iterator[str]:
    """Yield a set of sheets line by line, each stencil where it is first used."""
    known: set[str] = set()
    for page in sheets.pages:
        yield f"# {page.under} / {page.name} {shown(page.size)}"
        for mark in page.marks:
            if isinstance(mark, Stamp) and mark.stencil.name not in known:
                known.add(mark.stencil.name)
                yield f"## stencil {mark.stencil.name}"
                yield from (written(part) for part in mark.stencil.marks)
                yield "## end"
            yield written(mark)


@pytest.mark.parametrize("name", NAMES)
def test_pages_are_as_they_were_last_found_good(name: str) -> None:
    path = HERE / f"{name}.sheets.txt"
    lines = list(lines_of(stake_out_set(sample_layout(name), paper=PAPERS[name])))
    if os.environ.get("UPDATE_GOLDEN"):
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert lines == path.read_text(encoding="utf-8").splitlines()
