"""The door through which a DXF comes in: one file, one layout of it, as linework."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from ezdxf.document import Drawing as Document

from layoutdesk.errors import FileError
from layoutdesk.importers.collecting import no_collecting
from layoutdesk.importers.dxf_codes import whole
from layoutdesk.importers.dxf_file import load
from layoutdesk.importers.dxf_walk import Walk
from layoutdesk.importers.linework import Linework, Progress
from layoutdesk.plan.whole import shown
from layoutdesk.units import MM_PER_INCH

MODEL: Final = "Model"

_INCH: Final = MM_PER_INCH
_FOOT: Final = 304.8
_SURVEY_FOOT: Final = 1200 / 3937 * 1000
_UNITS: Final = {
    1: _INCH,
    2: _FOOT,
    3: 1_609_344.0,
    4: 1.0,
    5: 10.0,
    6: 1000.0,
    7: 1e6,
    8: 2.54e-5,
    9: 0.0254,
    10: 914.4,
    13: 0.001,
    14: 100.0,
    15: 1e4,
    16: 1e5,
    21: _SURVEY_FOOT,
    22: _SURVEY_FOOT / 12,
    23: 3 * _SURVEY_FOOT,
    24: _SURVEY_FOOT * 5280,
}
"""Millimetres of one unit by the number that $INSUNITS gives; the published DXF reference has the list."""

_LOADED: Final = 0.8
"""The share of the work that is done when the library holds the file."""


def read_dxf(path: Path, *, layout: str = "", tell: Progress | None = None) -> Linework:
    """Return what a DXF draws, in its own units, blocks resolved.

    Args:
        path: the file, text or binary, of any release.
        layout: the sheet to read; by itself the model, or the first sheet that holds anything when it is empty.
        tell: is told how much is done, from 0 to 1, and never less than before; what it raises ends the work.

    Raises:
        FileError: when it cannot be read, or draws nothing that a plan could be made of.
    """
    try:
        with no_collecting():
            return _read(path, layout, _rising(tell))
    except _Ended as ended:
        raise ended.why from None


class _Ended(BaseException):
    """What a teller raised, carried past all that takes errors for signs of a broken file."""

    def __init__(self, why: BaseException) -> None:
        super().__init__(why)
        self.why = why


def _read(path: Path, layout: str, say: Progress) -> Linework:
    name = shown(path)
    say(0.0)
    loaded = load(path, name, lambda share: say(_LOADED * share))
    document = loaded.document
    sheets = _sheets(document, has_plain=bool(loaded.plain))
    chosen = _chosen(sheets, layout, name)
    notes = list(loaded.notes)
    if chosen != MODEL and not layout:
        notes.append(f"The model is empty, so the sheet “{chosen}” was read.")
    space = document.layout(chosen)
    on_paper = chosen != MODEL
    walk = Walk(document, name, on_paper=on_paper, tell=lambda share: say(_LOADED + (1 - _LOADED) * share))
    plain = () if on_paper else loaded.plain
    walk.run(plain, space, len(plain) + len(space))
    _refuse_nothing(walk, name, notes)
    unit = None if on_paper else _unit(document)
    if on_paper:
        notes.append("A sheet of paper was read, so its scale must be found from its dimensions or asked.")
    elif unit is None:
        notes.append(_without_unit(document))
    say(1.0)
    return Linework(
        name=name,
        kind="dxf",
        unit=unit,
        shapes=tuple(walk.shapes),
        words=tuple(walk.words),
        drawn=tuple(walk.drawn),
        uses=tuple(walk.uses),
        layers=walk.layers.names(walk.used),
        frozen=walk.layers.hidden(walk.used),
        passed=walk.passed.all(),
        notes=tuple(notes),
        layouts=tuple(map(whole, sheets)),
        layout=whole(chosen),
    )


def _rising(tell: Progress | None) -> Progress:
    """Return a teller that never goes back, as a second attempt at a broken file would."""
    highest = -1.0

    def say(share: float) -> None:
        nonlocal highest
        if tell is not None:
            highest = max(highest, min(1.0, share))
            try:
                tell(highest)
            except BaseException as why:  # noqa: BLE001 - whatever it is, it comes out at the door
                raise _Ended(why) from None

    return say


def _sheets(document: Document, *, has_plain: bool) -> list[str]:
    """Return the layouts that hold anything, the model first."""
    names = [MODEL, *(name for name in document.layouts.names_in_taborder() if name != MODEL)]
    return [
        name
        for name in names
        if (name == MODEL and has_plain) or any(entity.dxftype() != "VIEWPORT" for entity in document.layout(name))
    ]


def _chosen(sheets: list[str], layout: str, name: str) -> str:
    if not layout:
        return sheets[0] if sheets else MODEL
    for sheet in sheets:
        if whole(sheet).casefold() == layout.casefold():
            return sheet
    there = ", ".join(f"“{whole(sheet)}”" for sheet in sheets) or "none"
    raise FileError(f"{name}: it holds no sheet “{layout}” with anything on it; choose one of these: {there}")


def _unit(document: Document) -> float | None:
    number: Any = document.header.get("$INSUNITS", 0)
    return _UNITS.get(int(number)) if isinstance(number, (int, float)) else None


def _without_unit(document: Document) -> str:
    system: Any = document.header.get("$MEASUREMENT", None)
    hint = {0: "; it only says that it is in inches or feet", 1: "; it only says that it is metric"}.get(system, "")
    return f"The file does not say what its unit is{hint}."


def _refuse_nothing(walk: Walk, name: str, notes: list[str]) -> None:
    """Raise when nothing was read that a plan could be made of."""
    if walk.shapes or walk.drawn:
        return
    if walk.passed.bodies:
        raise FileError(
            f"{name}: it holds only solid bodies and no flat lines; save a view from above as a flat DXF"
        )
    if walk.words:
        raise FileError(f"{name}: it holds text and no lines; save the drawing with its lines as a DXF")
    if notes:
        raise FileError(f"{name}: it is broken and nothing in it can be read; ask for the drawing again")
    why = ", ".join(f"{p.count} {p.what}" for p in walk.passed.all()[:3])
    over = f" (passed over: {why})" if why else ""
    raise FileError(f"{name}: it draws nothing{over}; check that the right drawing was saved")
