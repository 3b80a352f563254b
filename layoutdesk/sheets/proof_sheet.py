"""The proof sheet: every measure and what became of it, every stake and its move, to be signed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.sheets.blocks import caution_box, caution_height
from layoutdesk.sheets.flag_words import SIGN
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.lettering import paragraph_height
from layoutdesk.sheets.marks import Line, Mark, Paragraph, Text
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.proof_picture import legend, picture_height, proof_picture
from layoutdesk.sheets.proof_rows import (
    BOTH_COLUMNS,
    CORRECTION_COLUMNS,
    HOUSE_COLUMNS,
    MEASURE_COLUMNS,
    STAKE_COLUMNS,
    both_rows,
    correction_rows,
    house_rows,
    measure_rows,
    repeated,
    stake_rows,
)
from layoutdesk.sheets.proof_words import held_words, house_words, tape_words, test_words, way_words
from layoutdesk.sheets.table import Column, Row, fit_table
from layoutdesk.sheets.taping_sheet import labels_of

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import HouseFound, Proof

SECTION: Final = "Proof"
_SIZES: Final = (12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0)
_SMALL_SIZES: Final = (10.0, 9.0, 8.0, 7.0, 6.0)
_FEW: Final = 12
"""Up to so many measures are written as large as the stakes."""
_SOME: Final = 25
"""More stakes than this are written smaller, on fewer pages."""
_READABLE: Final = 9.0
"""The smallest type that a table may have in order to stay on its page."""
_BEGUN: Final = 5
"""A table that needs several pages is begun with at least so many rows."""
_PICTURE: Final = (66.0, 130.0)
"""How high the picture is at least and at most, in millimetres."""
_WITH_PICTURE: Final = (11.0, 10.0, 9.0)
_AFTER: Final = 3.0
"""Under the picture, in millimetres."""
_UNDER: Final = 12.0
"""What stands under the table of the stakes, in millimetres."""
_LEGEND: Final = 50.0
_NOTE: Final = 7.5
_NOTES: Final = 9.0
_SIGNATURES: Final = 37.0
_SAID: Final = 11.0
_CODE: Final = (
    "**Local code and the licensed designer decide** whether what stands may stay. This sheet only reports what was"
    " taped and what follows from it; it tells nothing of soil, frost, steel or strength."
)
_BEFORE: Final = "**Before concrete:** tape once more over the forms. What is poured stays where it is."
_WALLS: Final = (
    "**off square**: how far an end of a wall lies beside where it is drawn, away from the house; − is toward it."
)
_MEASURES: Final = (
    "**off** is adjusted less reduced. **reduced** is the reading on the level, at the tape's own temperature and"
    " pull. **would show** is how much of an error in this measure the others bring to light: under 10 % it stands"
    f" almost alone. **{SIGN}** marks what is likely misread. Each number is rounded by itself."
)


def proof_sheets(layout: Layout, size: Vector) -> list[Draft]:
    """Return the proof sheet in as many pages as it needs; nothing for a plan without measures."""
    proof = layout.proof
    if proof is None:
        return []
    plan, labels = layout.plan, labels_of(layout)
    flow = Flow(SECTION, size)
    flow.text(f"**{_plain(proof.says)}**", size=_SAID, after=1.5)
    for sentence in (held_words(plan), test_words(proof)):
        flow.text(sentence, size=9.5, after=1.5)
    _look(flow, proof)
    stakes = (p for p in proof.points if p.kind != "control")
    _sentences(flow, "What to do", [p.says for p in stakes if p.verdict in {"move", "within the tapes"}])
    rows = stake_rows(plan, proof)
    high = _picture_height(flow, layout, proof, rows)
    flow.block(high, lambda box: _picture(layout, proof, box), after=_AFTER)
    _table(flow, "Stakes", STAKE_COLUMNS, rows, sizes=_SIZES if len(rows) <= _SOME else _SMALL_SIZES, under=_UNDER)
    if rows:
        flow.text(way_words(baseline=layout.frame is not None), size=9.0, after=5.0)
    _sentences(flow, "Bays", [bay.says for bay in proof.bays])
    if house := layout.house_found:
        _house(flow, layout, house)
    rows = measure_rows(plan, proof, labels)
    _table(flow, "Measures", MEASURE_COLUMNS, rows, sizes=_SIZES if len(rows) <= _FEW else _SMALL_SIZES)
    notes = [_MEASURES, tape_words(plan, proof)]
    if again := repeated(proof, labels):
        notes.append(f"Taped more than once, and each counts: {'; '.join(again)}.")
    cautions = (_BEFORE, _CODE)
    high = caution_height(cautions, flow.width)
    corrections = correction_rows(plan, proof, labels)
    if not corrections:  # names are not signed on a page that holds nothing else
        flow.keep(
            sum(paragraph_height(note, _NOTES, flow.width) + 1.5 for note in notes) + 3.5 + high + _SIGNATURES
        )
    for note in notes:
        flow.text(note, size=_NOTES, after=1.5)
    flow.gap(3.5)
    _table(flow, "Corrections added to what was read", CORRECTION_COLUMNS, corrections, sizes=_SMALL_SIZES)
    flow.block(
        high + _SIGNATURES,
        lambda box: [
            *caution_box(cautions, box.left, box.top, box.width),
            *_signatures(box.below(box.top - high)),
        ],
    )
    return flow.drafts(taped=False)


def _plain(text: str) -> str:
    """Return a sentence that may be set in bold as a whole."""
    return text.replace("**", "")


def _picture_height(flow: Flow, layout: Layout, proof: Proof, rows: list[Row]) -> float:
    """Return how high the picture is: what the table of the stakes leaves of the page, if that holds both."""
    natural = picture_height(layout.on_site, proof, flow.width - _LEGEND - 4.0)
    least, most = _PICTURE
    most = max(least, min(most, natural))
    for size in _WITH_PICTURE:
        table = fit_table(STAKE_COLUMNS, rows, flow.width, sizes=(size,), row_share=0.62)
        room = flow.room_over(table, len(rows)) - _AFTER - _UNDER
        if room >= least:
            return min(most, room)
    return min(most, flow.free) if flow.free >= least else most


def _look(flow: Flow, proof: Proof) -> None:
    """Write what is wrong or not known: misreadings, changed places, loose points, measures of no use."""
    texts = [
        *(suspect.says for suspect in proof.suspects),
        *(loose.says for loose in (*proof.swapped, *proof.loose)),
        *(text for _, text in proof.trouble),
    ]
    _sentences(flow, "Look at this first", [f"{SIGN} {text}" for text in dict.fromkeys(texts)])


def _sentences(flow: Flow, heading: str, texts: Sequence[str]) -> None:
    if not texts:
        return
    flow.heading(heading, keep=6.0)
    for text in texts:
        flow.text(text, size=9.5, after=1.2)
    flow.gap(3.0)


def _table(
    flow: Flow,
    heading: str,
    columns: tuple[Column, ...],
    rows: list[Row],
    *,
    sizes: tuple[float, ...] = _SIZES,
    under: float = 0.0,
) -> None:
    """Lay a table in the largest type at which it stays whole on this page, or else over the pages it needs.

    ``under`` is what must have room under it, in millimetres.
    """
    if not rows:
        return
    table = fit_table(columns, rows, flow.width, sizes=sizes, row_share=0.62)
    for size in sizes:
        if _READABLE <= size <= table.size:
            smaller = fit_table(columns, rows, flow.width, sizes=(size,), row_share=0.62)
            if flow.holds(smaller, len(rows), over=under):
                flow.table(heading, smaller, rows)
                return
    flow.table(heading, table, rows, whole=False, least=_BEGUN)


def _house(flow: Flow, layout: Layout, house: HouseFound) -> None:
    """Write the house as found against the house as drawn, and the stakes as drawn and as held."""
    plan = layout.plan
    flow.heading("The house as found", keep=12.0)
    flow.text(house.says, size=9.5, after=1.2)
    flow.text(house_words(plan), size=9.5, after=2.0)
    if walls := house_rows(plan, house):
        flow.text(_WALLS, size=9.0, after=2.0)
        _table(flow, "Walls, as found", HOUSE_COLUMNS, walls, sizes=_SMALL_SIZES)
    rows = both_rows(layout)
    _table(flow, "Stakes as drawn and as held, from the drawn baseline", BOTH_COLUMNS, rows, sizes=_SMALL_SIZES)


def _picture(layout: Layout, proof: Proof, box: Box) -> list[Mark]:
    marks, notes = proof_picture(layout.on_site, proof, box.between(box.left, box.right - _LEGEND - 4.0))
    room = box.between(box.right - _LEGEND, box.right)
    signs, y = legend(room, layout.plan.proof.exaggeration)
    marks += signs
    y -= 2.0
    for note in notes:
        marks.append(Paragraph((room.left, y), room.width, note, _NOTE))
        y -= paragraph_height(note, _NOTE, room.width) + 1.0
    return marks


def _signatures(box: Box) -> list[Mark]:
    """Return lines for who taped, who checked, who saw it as an inspector or owner, and when."""
    marks: list[Mark] = []
    for text, y in (("taped by", box.top - 12.0), ("checked by", box.top - 22.0), ("seen by", box.top - 32.0)):
        day = box.right - 45.0
        marks += [
            Text((box.left, y), text, 10.0),
            Line((box.left + 22.0, y - 0.6), (day - 6.0, y - 0.6), 0.25),
            Text((day, y), "date", 10.0),
            Line((day + 10.0, y - 0.6), (box.right, y - 0.6), 0.25),
        ]
    return marks
