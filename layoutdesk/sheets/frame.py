"""What every sheet has: title and job above a heavy rule; plan, rounding, who taped it and its number below."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.lettering import fitted, text_width
from layoutdesk.sheets.marks import Line, Mark, Page, Text
from layoutdesk.sheets.numbers import plan_text, step_text
from layoutdesk.sheets.paper import Box, printable_part

TITLE_SIZE: Final = 26.0
JOB_SIZE: Final = 13.0
_FOOT_SIZE: Final = 8.5
_HEAD: Final = 15.5
"""From the top margin to where a sheet's own marks may begin."""
_FOOT: Final = 10.0
_RULE: Final = 1.1
_NAME: Final = 30.0
_DAY: Final = 19.0
"""Room for a name and for a day, written by hand."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A sheet before it has its number: its own marks, without what every sheet has.

    ``section`` is the bookmark of the kind of sheet and ``name`` that of this one; they are the same where
    there is only one. ``aside`` stands at the right of the head instead of the job's title. ``taped`` says
    whether somebody writes measured lengths on it, and ``by`` what they did. A ``bare`` sheet has no frame.
    """

    section: str
    name: str
    title: str
    size: Vector
    marks: tuple[Mark, ...]
    taped: bool = True
    bare: bool = False
    aside: str = ""
    by: str = "taped by"


def body(size: Vector) -> Box:
    """Return the part of a sheet that is its own, between the rule at its head and the line at its foot."""
    part = printable_part(size)
    return Box(part.left, part.bottom + _FOOT, part.right, part.top - _HEAD)


def framed(draft: Draft, plan: Plan, number: int, count: int, *, held: str = "") -> Page:
    """Return the page of a draft with its head and foot, as sheet ``number`` of ``count``.

    ``held`` says in the foot what is held where the house does not stand as drawn.
    """
    foot = () if draft.bare else _foot(draft, plan, f"sheet {number} of {count}", held)
    marks = draft.marks if draft.bare else (*_head(draft, plan), *draft.marks, *foot)
    under = "" if draft.name == draft.section else draft.section
    return Page(draft.name, draft.size, tuple(marks), under)


def title_line(title: str, aside: str, size: Vector) -> tuple[str, float]:
    """Return a sheet's title as its head shows it and the size of its type, leaving room for what stands aside."""
    width = printable_part(size).width
    room = max(width * 0.62, width - text_width(aside, JOB_SIZE) - 8.0)
    return fitted(title, room, TITLE_SIZE, "black", least=14.0)


def _head(draft: Draft, plan: Plan) -> tuple[Mark, ...]:
    part = printable_part(draft.size)
    base = part.top - 9.0
    aside = draft.aside or plan.title
    title, title_size = title_line(draft.title, aside, draft.size)
    room = part.width - text_width(title, title_size, "black") - 8.0
    job, job_size = fitted(aside, room, JOB_SIZE, least=8.0)
    rule = part.top - 11.5 - _RULE / 2
    return (
        Text((part.left, base), title, title_size, "black"),
        Text((part.right, base), job, job_size, anchor="end"),
        Line((part.left, rule), (part.right, rule), _RULE),
    )


def _foot(draft: Draft, plan: Plan, sheet: str, held: str) -> tuple[Mark, ...]:
    part = printable_part(draft.size)
    line, base = part.bottom + 6.0, part.bottom + 1.6
    taken = text_width(sheet, _FOOT_SIZE, "bold") + 6.0
    marks: list[Mark] = [
        Line((part.left, line), (part.right, line), 0.25),
        Text((part.right, base), sheet, _FOOT_SIZE, "bold", anchor="end"),
    ]
    if draft.taped:
        signature, wide = _signature(part.right - taken, base, draft.by)
        marks += signature
        taken += wide + 5.0
    told = " · ".join(text for text in (f"numbers to the nearest {step_text(plan)}", held, plan_text(plan)) if text)
    said, size = fitted(told, part.width - taken, _FOOT_SIZE, least=7.0)
    marks.append(Text((part.left, base), said, size))
    return tuple(marks)


def _signature(right: float, base: float, by: str) -> tuple[tuple[Mark, ...], float]:
    """Return the line for a name and a day, ending at ``right``, and how wide it is."""
    day = right - _DAY
    on = day - text_width(" on ", _FOOT_SIZE)
    name = on - _NAME
    left = name - text_width(f"{by} ", _FOOT_SIZE)
    under = base - 0.5
    marks = (
        Text((left, base), by, _FOOT_SIZE),
        Line((name, under), (on, under), 0.2),
        Text(((on + day) / 2, base), "on", _FOOT_SIZE, anchor="middle"),
        Line((day, under), (right, under), 0.2),
    )
    return marks, right - left
