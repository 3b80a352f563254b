"""The section of every detail: its parts, its tube, what is cast in, its steel, and what is to be said of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layoutdesk.engine.concrete.sections import MM3_PER_M3, Part
from layoutdesk.engine.holes.cages import NO_CAGE, cage_of
from layoutdesk.engine.holes.entries import Section
from layoutdesk.engine.holes.section import (
    clear_beside,
    formed_to,
    gross_split,
    pier_parts,
)
from layoutdesk.engine.piers import PierShape, steel_inside
from layoutdesk.engine.reasons import shown_small
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.plan.model import CastIn, Detail, Plan
from layoutdesk.units import format_volume


def sections_of(plan: Plan) -> tuple[Section, ...]:
    """Return the section of every detail, in plan order."""
    return tuple(_section(plan, detail) for detail in plan.details)


def _section(plan: Plan, detail: Detail) -> Section:
    """Return the section of one detail; what cannot be reckoned is said and left out."""
    parts, trouble = _parts(detail)
    top = -detail.reveal
    bottom = detail.profile[-1][0] if detail.profile else 0.0
    tube = formed_to(detail, bottom)
    cast_in = detail.cast_in
    cage = NO_CAGE if trouble else cage_of(detail, units=plan.units, rounding=plan.rounding)
    return Section(
        detail=detail.id,
        parts=parts,
        top=top,
        bottom=bottom,
        tube=None if detail.tube is None or tube <= top else (top, tube),
        cast_in=None if cast_in is None else (top, top + cast_in.foot, cast_in.width, cast_in.kind),
        bars=cage.bars,
        hoops=cage.hoops,
        hoop_width=cage.hoop_width,
        hoop_diameter=cage.hoop_diameter,
        cover=cage.cover,
        says=tuple(_sentences(plan, detail, parts)),
        steel_says=tuple(check.says for check in cage.checks),
        pieces_say=cage.pieces_say,
        gross_m3=sum(gross_split(parts)) / MM3_PER_M3,
        trouble=trouble or cage.trouble,
    )


def _parts(detail: Detail) -> tuple[tuple[Part, ...], str]:
    """Return the parts of a pier, or why there are none."""
    try:
        parts = pier_parts(detail)
    except ReckoningError as wrong:
        return (), str(wrong)
    return parts, "" if parts else "This detail holds no concrete yet: its hole needs a depth below the pier's top."


def _sentences(plan: Plan, detail: Detail, parts: Sequence[Part]) -> Iterator[str]:
    """Yield what there is to say of a section apart from its steel."""
    if not parts:
        return
    below, above = (volume / MM3_PER_M3 for volume in gross_split(parts))
    whole = format_volume(below + above, plan.units)
    if above > 0:
        split = (format_volume(volume, plan.units) for volume in (below, above))
        yield "It holds {} of concrete: {} below the ground and {} above it.".format(whole, *split)
    else:
        yield f"It holds {whole} of concrete, all below the ground."
    poured = PierShape(detail, steel=steel_inside(plan, detail)).drawn
    net = poured.below + poured.reveal
    if (shown := format_volume(net, plan.units)) != whole:
        taken = format_volume(below + above - net, plan.units, small=True)
        yield f"What stands in it takes {taken} of that: {shown} is poured."
    if detail.tube is not None:
        yield _tube_sentence(plan, detail, parts)
    if detail.cast_in is not None:
        yield _cast_in_sentence(plan, detail.cast_in, parts)


def _tube_sentence(plan: Plan, detail: Detail, parts: Sequence[Part]) -> str:
    """Return how long the tube is, and whether the hole leaves room around it."""
    top, bottom = parts[0].top, parts[-1].bottom
    tube, first = formed_to(detail, bottom), detail.profile[0][1]
    if tube <= top:
        return "The tube ends above the pier's top, which is below the ground: it forms nothing."
    inside, length = shown_small(first, plan), shown_small(tube - top, plan)
    said = f"The tube is {length} long and {inside} wide inside"
    below = next((part for part in parts if part.top >= tube), None)
    if below is None:
        return f"{said}; it goes down to the bottom of the hole."
    if below.upper < first - plan.rounding / 2 and below.shape == "round":
        return (
            f"{said}, and the hole below it is only {shown_small(below.upper, plan)} wide: dig to the tube first."
        )
    if tube <= 0:
        return f"{said}."
    if top >= 0:
        return f"{said}, all of it in the ground."
    return f"{said}; its lower {shown_small(tube, plan)} stands in the ground."


def _cast_in_sentence(plan: Plan, cast_in: CastIn, parts: Sequence[Part]) -> str:
    """Return how what is cast in stands in the concrete."""
    top, bottom = parts[0].top, parts[-1].bottom
    foot = shown_small(cast_in.foot, plan)
    if top + cast_in.foot > bottom:
        deep = shown_small(bottom - top, plan)
        return (
            f"The {_called(cast_in)} reaches {foot} into a pier that is only {deep} high: it stands in the earth."
        )
    clear = clear_beside(cast_in, parts) or 0.0
    if clear < 0:
        without = " The concrete is reckoned without it." if cast_in.kind == "post" else ""
        return (
            f"The {_called(cast_in)} does not go into the pier: its corners stand "
            f"{shown_small(-clear, plan)} out of the concrete.{without}"
        )
    under = shown_small(bottom - top - cast_in.foot, plan)
    beside = f"{shown_small(clear, plan)} of concrete beside its corners and {under} under it"
    return f"The {_called(cast_in)} reaches {foot} into the pier, with {beside}."


def _called(cast_in: CastIn) -> str:
    return "post" if cast_in.kind == "post" else "column base"
