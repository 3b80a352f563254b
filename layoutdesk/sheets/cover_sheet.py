"""The cover: the job at a glance, what is in the set, what to bring, in which order to work, and the cautions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.engine.layout import Layout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.blocks import Column as Blocks
from layoutdesk.sheets.blocks import caution_box, caution_height
from layoutdesk.sheets.camera import fitted_camera, page_right, work_places
from layoutdesk.sheets.column_cards import SECTION as COLUMNS
from layoutdesk.sheets.drawing_dimensions import placed_dimensions
from layoutdesk.sheets.drawing_fit import page_turn
from layoutdesk.sheets.drawing_marks import Measured
from layoutdesk.sheets.flag_words import flag_boxes
from layoutdesk.sheets.frame import Draft, body, title_line
from layoutdesk.sheets.hole_sheet import SECTION as HOLES
from layoutdesk.sheets.lettering import broken
from layoutdesk.sheets.level_sheet import SECTION as LEVELS
from layoutdesk.sheets.marks import Mark
from layoutdesk.sheets.numbers import counted, plan_text, said_whole
from layoutdesk.sheets.opening_sheet import SECTION as OPENINGS
from layoutdesk.sheets.paper import Box
from layoutdesk.sheets.plan_dimensions import Dimensions
from layoutdesk.sheets.proof_sheet import SECTION as PROOF
from layoutdesk.sheets.scene import Scene
from layoutdesk.sheets.string_sheet import SECTION as STRINGS
from layoutdesk.sheets.taping_sheet import SECTION as TAPING

SECTION: Final = "Cover"
ASIDE: Final = "Stake-out set"
_GAP: Final = 8.0
_SIZE: Final = 9.5
_SMALLER: Final = ((10, 9.0), (14, 8.5))
"""A set of more sections than this has its words a little smaller, for the sake of the picture."""
_AROUND: Final = 14.0
"""Room round the plan for its dimensions, in millimetres, before it is known how much they need."""
_LONG: Final = 14
"""A list of more sections than this goes in two columns."""
_LEAST_PICTURE: Final = 38.0
_FEW: Final = 14
"""A plan with no more dimensions than this shows them all on the cover."""
_TITLE_LINES: Final = 4
_COLUMNS: Final = (
    "**Columns.** Hung over their holes: cut them before the pour. Set on finished piers: read the tops, type them"
    " in, and cut by new cards."
)
_OPENINGS: Final = "**Openings.** Have pipes and wires located; mark from the baseline; saw."
_HOLD: Final = (
    "**Again before concrete.** Tape once more over the forms. **Hold point:** nothing is poured before the"
    " inspector has signed the sheet of the holes."
)
_SLAB_CAUTION: Final = (
    "**Sawing the slab:** cut wet; mask, goggles and hearing protection. The dust of concrete holds silica and"
    " harms the lungs for good."
)


def cover_sheet(layout: Layout, size: Vector, contents: Sequence[tuple[str, str]]) -> Draft:
    """Return the cover; ``contents`` names each section and the sheets it is on, as in ``3 to 5``."""
    plan = layout.plan
    room = body(size)
    cautions = _cautions(plan)
    low = room.bottom + caution_height(cautions, room.width, size=_SIZE, columns=2)
    marks = caution_box(cautions, room.left, low, room.width, size=_SIZE, columns=2)
    high = room.top - min(block.y for block in _words(layout, contents, room))
    top = low + 4.0 + high
    for block in _words(layout, contents, room.below(top)):
        marks += block.marks
    head = _head(plan, layout, size)
    marks += head.marks
    flags, below_flags = flag_boxes(layout, room.left, head.y - 1.5, room.width)
    marks += flags
    picture = Box(room.left, top + 4.0, room.right, below_flags - 1.0)
    if picture.height >= _LEAST_PICTURE:
        marks += _picture(layout, picture)
    return Draft(SECTION, SECTION, plan.title, size, tuple(marks), taped=False, aside=ASIDE)


def _head(plan: Plan, layout: Layout, size: Vector) -> Blocks:
    """Return the line below the title: what is to be staked, and the whole title where the head had to cut it."""
    block = Blocks(body(size))
    shown, _ = title_line(plan.title, ASIDE, size)
    if shown != plan.title:
        lines = broken(plan.title.replace("**", "* *"), _SIZE, block.room.width)
        text = "\n".join("".join(word.text for word in line) for line in lines[:_TITLE_LINES])
        block.text(text + ("…" if len(lines) > _TITLE_LINES else ""), size=_SIZE)
        block.gap(1.0)
    things = [counted(len(plan.piers), "pier")]
    if plan.lines:
        things.append(counted(len(plan.lines), "beam line"))
    things.append(counted(len(plan.controls), "control point"))
    if layout.bays:
        things.append(counted(len(layout.bays), "bay"))
    block.text(f"{' · '.join(things)} · {plan_text(plan)}", size=11.0)
    return block


def _words(layout: Layout, contents: Sequence[tuple[str, str]], room: Box) -> tuple[Blocks, Blocks]:
    """Return the two columns of words between picture and cautions, from the top of a room downwards."""
    half = (room.width - _GAP) / 2
    left = Blocks(room.between(room.left, room.left + half))
    left.heading("In this set")
    size = min((small for many, small in _SMALLER if len(contents) > many), default=_SIZE)
    _listed(left, contents, size)
    left.gap(3.0)
    left.heading("Bring")
    left.points(_tools(layout), size=size)
    right = Blocks(room.between(room.right - half, room.right))
    right.heading("Order of work")
    right.steps(_order(layout, [section for section, _ in contents]), size=size)
    return left, right


def _listed(block: Blocks, contents: Sequence[tuple[str, str]], size: float) -> None:
    """Write what is on which sheets; a long list in two columns with the numbers alone."""
    if len(contents) <= _LONG:
        block.listing(contents, size=size)
        return
    block.text("with the numbers of the sheets", size=size)
    half, room = -(-len(contents) // 2), block.room.below(block.y)
    wide = (room.width - _GAP) / 2
    low = block.y
    for k, left in enumerate((room.left, room.left + wide + _GAP)):
        column = Blocks(room.between(left, left + wide))
        here = contents[k * half : (k + 1) * half]
        short = [(name, place.split(" ", 1)[1].replace(" to ", "–")) for name, place in here]
        column.listing(short, size=size, places=12.0)
        block.marks += column.marks
        low = min(low, column.y)
    block.y = low


def _tools(layout: Layout) -> tuple[str, ...]:
    tape = layout.plan.tape_at_hand
    return (
        f"two tapes of {said_whole(layout.plan, tape.length)}, class {tape.tape_class} or better",
        "mason's line and pins, batter boards, plumb bob, level",
        *(("level or laser with its rod, or a water level",) if layout.has_heights else ()),
        "stakes and nails, hammer, marking paint",
        "this set, a pencil, and somebody for the other end",
    )


def _order(layout: Layout, sections: Sequence[str]) -> tuple[str, ...]:
    square = layout.square
    triangle = "-".join(str(n) for n in square.ratio) if square else ""
    return (
        "**Baseline.** Find or set the control points; tape between them before anything else.",
        f"**Square.** Set the first line square with the {triangle} triangle of the control sheet."
        if square
        else "**Square.** Set the first line square; the control sheet says how.",
        "**Stakes.** Station, then offset; check every stake with two tapes.",
        "**Squareness.** Tape both diagonals of every bay. Mend stakes until all bays agree.",
        *_proof_step(sections),
        *_heights_step(sections),
        *((_OPENINGS,) if OPENINGS in sections else ()),
        "**Then dig.** Not before every sheet is filled in and somebody else has looked at it.",
        *((_COLUMNS,) if COLUMNS in sections else ()),
        _HOLD if HOLES in sections else "**Again before concrete.** Tape once more: concrete makes it for ever.",
    )


def _proof_step(sections: Sequence[str]) -> tuple[str, ...]:
    """Return the step in which the stakes are proved, where the set has a sheet for it."""
    if PROOF in sections:
        return ("**Proof.** Move the stakes that the proof sheet names, tape them again, and have it signed.",)
    if TAPING in sections:
        return ("**Proof.** Fill in the taping sheet and type it in: it tells which stake to move, and how far.",)
    return ()


def _heights_step(sections: Sequence[str]) -> tuple[str, ...]:
    """Return the step in which heights are taken, where the set has a sheet for it."""
    if LEVELS not in sections:
        return ()
    strings = ", then hang every string to its height" if STRINGS in sections else ""
    return (f"**Levels.** Read the ground from the benchmark and back to it{strings}.",)


def _cautions(plan: Plan) -> tuple[str, ...]:
    texts = [
        "**Before any digging** have buried lines located and marked, and dig by hand beside the marks.",
        "**Open holes:** cover every one and mark the cover; keep children and animals away.",
        "**Wet concrete** burns skin and eyes: gloves, goggles, boots; wash it off at once.",
        "**Lifting:** bags and cages are heavy. Two people, or a barrow.",
    ]
    if plan.slabs:
        texts.append(_SLAB_CAUTION)
    texts.append(
        "**Local code and the licensed designer decide** on size, depth, frost and steel. This set only says where."
    )
    return tuple(texts)


def _picture(layout: Layout, box: Box) -> list[Mark]:
    """Return the plan with its main dimensions, as large as the box allows."""
    right = page_right(layout)
    places = work_places(layout)
    first = fitted_camera(places, right, _inner(box, _AROUND))
    measured = _dimensions(layout, first.ratio)
    places += [p for m in measured for p in (m.line_start, m.line_end)]
    camera = fitted_camera(places, right, _inner(box, 6.0))
    scene = Scene(layout, camera, box)
    scene.house()
    scene.slabs()
    scene.keepouts()
    scene.attachments(names=False)
    scene.baseline()
    scene.controls()
    scene.piers()
    dimensions = Dimensions(_dimensions(layout, camera.ratio), layout.plan, camera, scene.taken)
    scene.beam_lines()
    scene.names((9.0, 8.0, 7.0, 6.0, 5.0))
    return [*scene.marks, *dimensions.written()[0]]


def _inner(box: Box, by: float) -> Box:
    """Return the part of a box for the plan itself, with more room at the top for the house."""
    inner = box.inset(by)
    return inner.below(inner.top - 3.0)


def _dimensions(layout: Layout, ratio: float) -> tuple[Measured, ...]:
    plan = layout.plan
    shown = layout.dimensions
    if len(shown) > _FEW:
        shown = tuple(d for d in shown if d.sets != "spacing")
    return placed_dimensions(
        shown, ratio=ratio, page_turn=page_turn(layout), units=plan.units, rounding=plan.rounding
    )
