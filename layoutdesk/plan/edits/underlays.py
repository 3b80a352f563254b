"""What lies under the sheet to be traced: laying it, placing it, showing it and finding its file again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from layoutdesk.errors import EditError
from layoutdesk.geometry.projective import Map9, similarity
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.edits.naming import new_ids
from layoutdesk.plan.edits.pieces import PREFIXES
from layoutdesk.plan.model import Plan, Underlay, places_of
from layoutdesk.plan.rules import MOST_PATH, wrong_map, wrong_number, wrong_place, wrong_text

FIRST_MM: Final = 12_000.0
"""The longer side of what is laid on an empty sheet, on the ground: a porch with its house."""
MOST_UNDERLAYS: Final = 50
"""So many may lie under one sheet."""


def add_underlay(plan: Plan, file: str, size: Vector, *, page: int = 0, to_plan: Map9 | None = None) -> Plan:
    """Lay a picture or a page under the sheet, over those that lie there already.

    Args:
        plan: the plan.
        file: its path.
        size: its width and height in its own units: pixels, or points of a page.
        page: which page of a PDF, counted from 1; 0 for a picture.
        to_plan: where it lies, row by row (see :class:`~layoutdesk.plan.model.Underlay`); None lays it upright
            about the middle of what is drawn, a little larger than that, whatever its scale will be.

    Raises:
        EditError: when the path, the size or the placing makes no sense, or there are too many already.
    """
    if len(plan.underlays) >= MOST_UNDERLAYS:
        raise EditError(
            f"no more than {MOST_UNDERLAYS} pictures and pages may lie under one sheet; remove one first"
        )
    _check_file(file)
    wide, high = _checked_size(size)
    if page < 0:
        raise EditError("pages are counted from 1")
    laid = _first_place(plan, wide, high) if to_plan is None else to_plan
    one = Underlay(
        id=next(new_ids(plan, PREFIXES["underlays"])),
        file=file,
        size=(wide, high),
        to_plan=_checked_map(laid, (wide, high)),
        page=page,
    )
    return plan.with_(underlays=(*plan.underlays, one))


def place_underlay(plan: Plan, underlay_id: str, to_plan: Map9) -> Plan:
    """Lay what lies under the sheet elsewhere: shifted, turned, at another scale or set right.

    Raises:
        EditError: when there is none of this id, it is locked, or the placing makes no sense.
    """
    one = find_underlay(plan, underlay_id)
    refuse_locked(one)
    return _put_back(plan, one, replace(one, to_plan=_checked_map(to_plan, one.size)))


def set_underlay(
    plan: Plan,
    underlay_id: str,
    *,
    strength: float | None = None,
    locked: bool | None = None,
    shown: bool | None = None,
    page: int | None = None,
    size: Vector | None = None,
) -> Plan:
    """Change how strongly it shows, whether it shows, whether it is locked, or which page of its file it is.

    Args:
        plan: the plan.
        underlay_id: which one.
        strength: from 0, not to be seen, to 1.
        locked: whether it stays where it lies.
        shown: whether it shows.
        page: another page of the same PDF, counted from 1.
        size: width and height of that page in points; the scale on the ground stays.

    Raises:
        EditError: when there is none of this id, or a value makes no sense.
    """
    one = find_underlay(plan, underlay_id)
    if strength is not None and not 0 <= strength <= 1:
        raise EditError("the strength runs from 0 to 1")
    if page is not None and page < 1:
        raise EditError("pages are counted from 1")
    if page is not None and not one.page:
        raise EditError(f"{one.id} is a picture and has no pages")
    return _put_back(
        plan,
        one,
        replace(
            one,
            strength=one.strength if strength is None else float(strength),
            locked=one.locked if locked is None else locked,
            shown=one.shown if shown is None else shown,
            page=one.page if page is None else page,
            size=one.size if size is None else _checked_size(size),
        ),
    )


def refind_underlay(plan: Plan, underlay_id: str, file: str, size: Vector) -> Plan:
    """Take another file for what lies under the sheet: the same one moved, or saved again.

    A picture saved larger or smaller than before keeps its place on the ground.

    Raises:
        EditError: when there is none of this id, or path or size make no sense.
    """
    one = find_underlay(plan, underlay_id)
    _check_file(file)
    wide, high = _checked_size(size)
    m, kx, ky = one.to_plan, one.size[0] / wide, one.size[1] / high
    if one.page:
        kx = ky = 1.0
    to_plan = (m[0] * kx, m[1] * ky, m[2], m[3] * kx, m[4] * ky, m[5], m[6] * kx, m[7] * ky, m[8])
    return _put_back(plan, one, replace(one, file=file, size=(wide, high), to_plan=to_plan))


def find_underlay(plan: Plan, underlay_id: str) -> Underlay:
    """Return what lies under the sheet by its id.

    Raises:
        EditError: when there is none of this id.
    """
    one = next((u for u in plan.underlays if u.id == underlay_id), None)
    if one is None:
        raise EditError(f"there is no {underlay_id} under the sheet")
    return one


def refuse_locked(underlay: Underlay) -> None:
    """Refuse to place what is locked.

    Raises:
        EditError: when it is.
    """
    if underlay.locked:
        raise EditError(f"{underlay.id} is locked where it lies; unlock it on the Plan page to place it anew")


def _put_back(plan: Plan, before: Underlay, after: Underlay) -> Plan:
    if after == before:
        return plan
    return plan.with_(underlays=tuple([after if u is before else u for u in plan.underlays]))


def _first_place(plan: Plan, wide: float, high: float) -> Map9:
    places = [p for piece in plan.pieces() for p in places_of(piece)]
    middle, longer = (0.0, 0.0), FIRST_MM
    if places:
        low, high_ = _box(places)
        middle = ((low[0] + high_[0]) / 2, (low[1] + high_[1]) / 2)
        longer = max(1.2 * (high_[0] - low[0]), 1.2 * (high_[1] - low[1]), FIRST_MM / 4)
    k = longer / max(wide, high)
    corner = (middle[0] - k * wide / 2, middle[1] + k * high / 2)
    return similarity((0.0, 0.0), (wide, 0.0), corner, (corner[0] + k * wide, corner[1]), mirrored=True)


def _box(places: Iterable[Vector]) -> tuple[Vector, Vector]:
    xs, ys = zip(*places, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def _check_file(file: str) -> None:
    if trouble := wrong_text(file, most=MOST_PATH) if file else "is empty":
        raise EditError(f"the path of the file {trouble}")


def _checked_size(size: Vector) -> Vector:
    wide, high = float(size[0]), float(size[1])
    if wrong_number(wide) or wrong_number(high) or wide <= 0 or high <= 0:
        raise EditError("a picture or page has a width and a height of more than 0")
    return wide, high


def _checked_map(rows: Map9, size: Vector) -> Map9:
    if trouble := wrong_map(rows):
        raise EditError(f"the placing {trouble}; place it again")
    x, y = size[0] / 2, size[1] / 2
    z = rows[6] * x + rows[7] * y + rows[8]
    if z > 0:
        at = ((rows[0] * x + rows[1] * y + rows[2]) / z, (rows[3] * x + rows[4] * y + rows[5]) / z)
        if trouble := wrong_place(at):
            raise EditError(f"the middle of the picture {trouble}; place it again")
    a, b, c, d, e, f, g, h, i = (float(n) for n in rows)
    return (a, b, c, d, e, f, g, h, i)
