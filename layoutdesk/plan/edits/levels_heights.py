"""Heights that are given: of spots, beam lines and piers, the rule for columns, and how heights are judged."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypedDict, TypeVar, Unpack

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits import checks
from layoutdesk.plan.edits.floats import in_floats
from layoutdesk.plan.edits.naming import new_id
from layoutdesk.plan.edits.pieces import find_line, find_one, find_piers, put_back
from layoutdesk.plan.height_rules import (
    Wrong,
    called,
    wrong_columns,
    wrong_heights,
    wrong_line_heights,
    wrong_pier_heights,
    wrong_spot,
)
from layoutdesk.plan.model import (
    STRING_RULES,
    TOP_RULES,
    LineHeights,
    PierHeights,
    Plan,
    SpotHeight,
    StringRule,
    TopRule,
)


class LineFields(TypedDict, total=False):
    """The heights of a beam line, as :class:`~layoutdesk.plan.heights.LineHeights` names them."""

    seat: float | None
    fall: float
    top: TopRule
    pier_top: float | None
    string: float | None
    string_rule: StringRule


class PierFields(TypedDict, total=False):
    """The heights of a pier, as :class:`~layoutdesk.plan.heights.PierHeights` names them."""

    ground: float | None
    top: float | None
    support: float | None


class ColumnFields(TypedDict, total=False):
    """The rule for columns, as :class:`~layoutdesk.plan.heights.ColumnRule` names it; mm."""

    width: float
    depth: float
    foot: float
    cap: float
    margin: float
    support: float
    stock: tuple[float, ...]
    kerf: float


class HeightFields(TypedDict, total=False):
    """How heights are judged and drawn, as :class:`~layoutdesk.plan.heights.HeightSettings` names it."""

    deviation: float
    misclosure: float
    frost: float | None
    board_clear: float
    line_mass: float
    line_pull: float
    line_gap: float
    contour: float | None
    exaggeration: float


def add_spot(plan: Plan, at: Vector, *, elevation: float | None = None) -> Plan:
    """Mark a place whose ground height is taken: read from a setup under its id, or typed as ``elevation``.

    Raises:
        EditError: when the place or the elevation cannot be.
    """
    spot = in_floats(SpotHeight(id=new_id(plan, "G"), at=checks.place(at), elevation=elevation))
    _refuse(wrong_spot(spot), "of the spot")
    return plan.with_(spots=(*plan.spots, spot))


def set_spot(plan: Plan, spot_id: str, elevation: float | None) -> Plan:
    """Type the height of a spot; None takes it away, so that only a reading gives it one.

    Raises:
        EditError: when there is no such spot, or when the elevation cannot be.
    """
    piece = find_one(plan, spot_id)
    if not isinstance(piece, SpotHeight):
        raise EditError(f"{spot_id} is no spot")
    spot = in_floats(replace(piece, elevation=elevation))
    _refuse(wrong_spot(spot), f"of {spot_id}")
    return put_back(plan, [spot])


def set_line_heights(plan: Plan, line_ids: Iterable[str], **fields: Unpack[LineFields]) -> Plan:
    """Give beam lines their heights; what is not said stays as it is.

    Raises:
        EditError: when there is no such beam line, or when a height or a rule cannot be.
    """
    wanted = dict.fromkeys(line_ids)
    for line_id in wanted:
        find_line(plan, line_id)
    have = {line.line: line for line in plan.levels.lines}
    for line_id in wanted:
        line = in_floats(replace(have.get(line_id) or LineHeights(line=line_id), **fields))
        have[line_id] = replace(
            line,
            top=checks.one_of(line.top, TOP_RULES, "what the pier tops follow"),
            string_rule=checks.one_of(line.string_rule, STRING_RULES, "how the string hangs"),
        )
        _refuse(wrong_line_heights(have[line_id]), f"of {line_id}")
    said = [line for line in have.values() if line != LineHeights(line=line.line)]
    return _with(plan, lines=_in_order(said, [line.id for line in plan.lines], lambda line: line.line))


def set_pier_heights(plan: Plan, pier_ids: Iterable[str], **fields: Unpack[PierFields]) -> Plan:
    """Give piers heights of their own, None to take one away; what is not said stays as it is.

    Raises:
        EditError: when there is no such pier, or when a height cannot be.
    """
    wanted = dict.fromkeys(pier_ids)
    find_piers(plan, wanted)
    have = {pier.pier: pier for pier in plan.levels.piers}
    for pier_id in wanted:
        have[pier_id] = in_floats(replace(have.get(pier_id) or PierHeights(pier=pier_id), **fields))
        _refuse(wrong_pier_heights(have[pier_id]), f"of {pier_id}")
    said = [pier for pier in have.values() if pier != PierHeights(pier=pier.pier)]
    return _with(plan, piers=_in_order(said, [pier.id for pier in plan.piers], lambda pier: pier.pier))


def set_columns(plan: Plan, **fields: Unpack[ColumnFields]) -> Plan:
    """Say what the columns of the job are; what is not said stays as it is.

    Raises:
        EditError: when a number cannot be.
    """
    columns = in_floats(replace(plan.levels.columns, **fields))
    columns = replace(columns, stock=tuple(sorted({float(length) for length in columns.stock})))
    _refuse(wrong_columns(columns), "of the columns")
    return _with(plan, columns=columns)


def set_heights(plan: Plan, **fields: Unpack[HeightFields]) -> Plan:
    """Say how heights are judged and drawn; what is not said stays as it is.

    Raises:
        EditError: when a number cannot be.
    """
    settings = in_floats(replace(plan.levels.settings, **fields))
    _refuse(wrong_heights(settings), "of the levels")
    return _with(plan, settings=settings)


_T = TypeVar("_T")


def _in_order(things: Iterable[_T], order: list[str], name: Callable[[_T], str]) -> tuple[_T, ...]:
    """Return things in the order of the pieces that they belong to."""
    rank = {piece_id: n for n, piece_id in enumerate(order)}
    return tuple(sorted(things, key=lambda thing: rank[name(thing)]))


def _refuse(wrong: Wrong | None, whose: str) -> None:
    if wrong is not None:
        field = wrong[0].partition("[")[0]
        raise EditError(f"the {called(field)} {whose} {wrong[1]}")


def _with(plan: Plan, **changes: object) -> Plan:
    """Return the plan with parts of its levels changed; the very plan when none of them differs."""
    levels = plan.levels
    if all(getattr(levels, field) == value for field, value in changes.items()):
        return plan
    return plan.with_(levels=replace(levels, **changes))  # type: ignore[arg-type]
