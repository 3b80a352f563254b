"""The proof sheet: every measure and what became of it, every stake and its move, to be signed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan, ProofSettings
from layoutdesk.sheets.blocks import caution_box, caution_height
from layoutdesk.sheets.flag_words import SIGN
from layoutdesk.sheets.flow import Flow
from layoutdesk.sheets.frame import Draft
from layoutdesk.sheets.lettering import paragraph_height
from layoutdesk.sheets.marks import Line, Mark, Paragraph, Text
from layoutdesk.sheets.numbers import counted, said_small
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.proof_picture import legend, proof_picture
from layoutdesk.sheets.proof_rows import (
    HOUSE_COLUMNS,
    MEASURE_COLUMNS,
    STAKE_COLUMNS,
    house_rows,
    measure_rows,
    stake_rows,
)
from layoutdesk.sheets.table import Column, Row, fit_table
from layoutdesk.sheets.taping_sheet import labels_of

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import HouseFound, Proof

SECTION: Final = "Proof"
_SIZES: Final = (12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0)
_PICTURE: Final = 100.0
_LEGEND: Final = 50.0
_NOTE: Final = 7.5
_SIGNATURES: Final = 27.0
_SAID: Final = 11.0
_CODE: Final = (
    "**Local code and the licensed designer decide** whether what stands may stay. This sheet only reports what was"
    " taped and what follows from it; it tells nothing of soil, frost, steel or strength."
)
_BEFORE: Final = "**Before concrete:** tape once more over the forms. What is poured stays where it is."
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
    plan = layout.plan
    flow = Flow(SECTION, size)
    flow.text(f"**{_plain(proof.says)}**", size=_SAID, after=1.5)
    for sentence in _test(plan, proof):
        flow.text(sentence, size=9.5, after=1.5)
    _look(flow, proof)
    stakes = (p for p in proof.points if p.kind != "control")
    _sentences(flow, "What to do", [p.says for p in stakes if p.verdict in {"move", "within the tapes"}])
    flow.block(_PICTURE, lambda box: _picture(layout, proof, box), after=3.0)
    _table(flow, "Stakes", STAKE_COLUMNS, stake_rows(plan, proof))
    if proof.points:
        flow.text(_ways(layout), size=9.0, after=5.0)
    _sentences(flow, "Bays", [bay.says for bay in proof.bays])
    if house := layout.house_found:
        _house(flow, plan, house)
    _table(flow, "Measures", MEASURE_COLUMNS, measure_rows(plan, proof, labels_of(layout)))
    flow.text(_MEASURES, size=9.0, after=5.0)
    cautions = (_BEFORE, _CODE)
    high = caution_height(cautions, flow.width)
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


def _test(plan: Plan, proof: Proof) -> tuple[str, ...]:
    """Return what was held, and what the test of all measures together says, in plain words."""
    spare = f"{counted(len(proof.tapes), 'measure')}, {proof.degrees} more than needed."
    if proof.passes is None:
        test = "None checks another: nothing here shows a misreading."
    else:
        agree = "**They agree with each other**" if proof.passes else "**They do not agree with each other**"
        test = (
            f"{agree}: their weighted squares add up to {proof.weighted:.1f}, and in 95 of 100 sound jobs that is"
            f" {proof.low:.1f} to {proof.high:.1f}."
        )
    if proof.passes_without is not None:
        test += f" Without what is suspect they {'agree' if proof.passes_without else 'still do not agree'}."
    return (f"{_held(plan.proof, plan)} {_allowed(plan)}", f"{spare} {test}")


def _held(settings: ProofSettings, plan: Plan) -> str:
    match settings.control:
        case "held":
            return "Control points are held where they are drawn."
        case "uncertain":
            return f"Control points are taken as sure to {said_small(plan, settings.control_deviation)}."
        case "free":
            return (
                "Control points are taken as no surer than the stakes; the whole is laid over the plan at its best."
            )


def _allowed(plan: Plan) -> str:
    return f"A stake may be out by {said_small(plan, plan.proof.tolerance)}."


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


def _table(flow: Flow, heading: str, columns: tuple[Column, ...], rows: list[Row]) -> None:
    if rows:
        flow.table(heading, fit_table(columns, rows, flow.width, sizes=_SIZES, row_share=0.62), rows)


def _ways(layout: Layout) -> str:
    """Return which way a move goes by its word."""
    if layout.frame is None:
        return (
            "Without a baseline **on** and **back** go along the drawing's x, **away** and **toward** along its y."
        )
    return (
        "**on**: the way stations grow; **back**: against it. **away**: away from the house; **toward**: to it."
        " Move only what says **move**, then tape it again."
    )


def _house(flow: Flow, plan: Plan, house: HouseFound) -> None:
    """Write the house as found against the house as drawn, and what is held."""
    flow.heading("The house as found", keep=12.0)
    flow.text(house.says, size=9.5, after=1.2)
    held = plan.proof.held_attachment
    at = f" ({held})" if plan.proof.house == "hold one attachment" and held else ""
    flow.text(f"Chosen: **{plan.proof.house}**{at}.", size=9.5, after=2.0)
    _table(flow, "Walls, as found", HOUSE_COLUMNS, house_rows(plan, house))


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
    """Return lines for who taped, who checked, and when."""
    marks: list[Mark] = []
    for text, y in (("taped by", box.top - 12.0), ("checked by", box.top - 22.0)):
        day = box.right - 45.0
        marks += [
            Text((box.left, y), text, 10.0),
            Line((box.left + 22.0, y - 0.6), (day - 6.0, y - 0.6), 0.25),
            Text((day, y), "date", 10.0),
            Line((day + 10.0, y - 0.6), (box.right, y - 0.6), 0.25),
        ]
    return marks
