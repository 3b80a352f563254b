"""Checks of where the holes come: on each other, in the house, in a keep-out, through a slab, off the sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.flags.facts import Facts, Kind, by_pier, each, listed_finds, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.obstacles import TOUCH_MM
from layoutdesk.engine.piers import NO_SIZE, sizes_by_detail
from layoutdesk.geometry.polygon import DECIMALS, area_within

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

OVERLAP: Final = Kind("piers-overlap", "error", "plan")
IN_HOUSE: Final = Kind("pier-in-house", "error", "plan")
UNDER_HOUSE: Final = Kind("pier-under-house", "warning", "plan")
IN_KEEPOUT: Final = Kind("pier-in-keepout", "error", "plan")
BEHIND: Final = Kind("pier-behind-baseline", "warning", "control")
OUTSIDE: Final = Kind("pier-outside-sheet", "warning", "plan")
OPENING: Final = Kind("pier-in-slab", "note", "piers")

SHEET_MM: Final = 100_000.0
"""A pier farther than this from the baseline's origin (or from the first point) is off the sheet."""
_PAIRS: Final = 500
"""So many overlapping pairs are counted; with more the plan needs a look, not a list."""
_CHUNK: Final = 512


def check(facts: Facts) -> Iterator[Flag]:
    """Yield piers that stand where they must not."""
    radii = pier_radii(facts)
    yield from _overlaps(facts, radii)
    yield from _in_the_way(facts, radii)
    yield from _far_and_behind(facts)
    yield from _in_slabs(facts, radii)


def pier_radii(facts: Facts) -> Floats:
    """Return half the widest diameter of every pier, (piers,) in mm; 0 without a detail."""
    half = {name: size.widest / 2 for name, size in sizes_by_detail(facts.plan).items()}
    return np.array([half.get(pier.detail, NO_SIZE.widest) for pier in facts.plan.piers], dtype=np.float64)


def overlapping(xy: Floats, radii: Floats) -> list[tuple[int, int]]:
    """Return pairs of circles that overlap or share their centre, at most 500; (n, 2) and (n,) in mm."""
    if len(xy) < 2:
        return []
    import shapely

    spots = shapely.points(np.round(xy, DECIMALS))
    tree = shapely.STRtree(spots)
    reach = np.maximum(radii + radii.max(), TOUCH_MM)
    found: list[tuple[int, int]] = []
    for k in range(0, len(xy), _CHUNK):
        part = slice(k, k + _CHUNK)
        one, other = tree.query(spots[part], predicate="dwithin", distance=reach[part])
        one = one + k
        one, other = one[one < other], other[one < other]
        apart = np.hypot(*(xy[one] - xy[other]).T)
        clash = (apart < radii[one] + radii[other] - 1e-6) | (apart < TOUCH_MM)
        found += zip(one[clash].tolist(), other[clash].tolist(), strict=True)
        if len(found) >= _PAIRS:
            break
    return sorted(found)[:_PAIRS]


def _overlaps(facts: Facts, radii: Floats) -> Iterator[Flag]:
    piers = facts.plan.piers
    xy = facts.points.xy[facts.points.first_pier :]
    found = overlapping(xy, radii)

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        a, b = (piers[i] for i in found[k])
        return f"{a.label} with {b.label}", (a.id, b.id)

    def say(k: int) -> tuple[str, str]:
        i, j = found[k]
        a, b = piers[i].label, piers[j].label
        apart = float(np.hypot(*(xy[i] - xy[j])))
        need = float(radii[i] + radii[j])
        if apart < TOUCH_MM:
            text = f"Piers {a} and {b} stand at the same place; move one of them or delete it."
        else:
            text = (
                f"Piers {a} and {b} are {mm(apart, facts)} apart and need {mm(need, facts)} at their widest;"
                " move one of them or make it narrower."
            )
        return f"{a} and {b} overlap", text

    def together(names: str) -> tuple[str, str]:
        count = f"{len(found)} or more" if len(found) == _PAIRS else f"{len(found)}"
        text = f"Piers {names} come too near to each other; move them apart or make them narrower."
        return f"{count} pairs of piers overlap", text

    yield from each(OVERLAP, range(len(found)), who, say, together)


def _near(xy: Floats, radii: Floats, bounds: tuple[float, float, float, float]) -> Indices:
    """Return which circles may reach into what lies in an upright rectangle."""
    x_min, y_min, x_max, y_max = bounds
    x, y = xy[:, 0], xy[:, 1]
    beside = (x + radii >= x_min) & (x - radii <= x_max) & (y + radii >= y_min) & (y - radii <= y_max)
    return np.flatnonzero(beside)


def reaching(xy: Floats, radii: Floats, shape: BaseGeometry, near: Indices) -> tuple[list[int], Floats]:
    """Return which of the circles ``near`` reach into a shape by more than a touch.

    Beside them stands how far the centres of all circles are from the shape, (n,) in mm; infinite for those
    not asked about, 0 within it.
    """
    import shapely

    away = np.full(len(xy), np.inf)
    away[near] = shapely.distance(shape, shapely.points(np.round(xy[near], DECIMALS)))
    return np.flatnonzero((away == 0) | (away < radii - TOUCH_MM)).tolist(), away


def _in_the_way(facts: Facts, radii: Floats) -> Iterator[Flag]:
    xy = facts.points.xy[facts.points.first_pier :]
    known = facts.obstacles
    for k, (label, piece) in enumerate(zip(known.labels, known.ids, strict=True)):
        near = _near(xy, radii, known.bounds(k))
        if not len(near):
            continue
        found, away = reaching(xy, radii, known.shape(k), near)
        if piece is None:
            inside = [i for i in found if away[i] == 0]
            under = [i for i in found if away[i] > 0]
            yield from _standing(facts, IN_HOUSE, inside, ("stand", "in the house", "move {} into the yard"))
            mend = "the widest part comes under the wall; dig there only as the designer allows"
            yield from _standing(facts, UNDER_HOUSE, under, ("reach", "under the house", mend))
        else:
            mend = "neither auger nor tape may go there; move {}"
            yield from _standing(facts, IN_KEEPOUT, found, ("stand", f"in {label}", mend), about=(piece,))


def _standing(
    facts: Facts, kind: Kind, found: Sequence[int], words: tuple[str, str, str], *, about: tuple[str, ...] = ()
) -> Iterator[Flag]:
    """Yield the flags of piers of which the same is true.

    Args:
        facts: of the plan.
        kind: of the flags.
        found: the piers.
        words: the verb (of many), the place, and what then, with {} for it or them.
        about: what else is concerned.
    """
    piers = facts.plan.piers
    verb, where, then = words
    does = f"{verb}{'es' if verb.endswith('ch') else 's'} {where}"

    def who(i: int) -> tuple[str, tuple[str, ...]]:
        return piers[i].label, (piers[i].id, *about)

    def say(i: int) -> tuple[str, str]:
        return f"{piers[i].label} {does}", f"Pier {piers[i].label} {does}; {then.format('it')}."

    def together(names: str) -> tuple[str, str]:
        return f"{len(found)} piers {verb} {where}", f"Piers {names} {verb} {where}; {then.format('them')}."

    yield from each(kind, found, who, say, together)


def _far_and_behind(facts: Facts) -> Iterator[Flag]:
    plan, points = facts.plan, facts.points
    if not plan.piers:
        return
    first = points.first_pier
    if facts.frame is not None:
        yield from _behind(facts, points.offset[first:])
    centre = np.array(facts.frame.origin) if facts.frame is not None else points.xy[0]
    whence = "the baseline's origin" if facts.frame is not None else points.labels[0]
    away = np.hypot(*(points.xy[first:] - centre).T)
    far = np.flatnonzero(away > SHEET_MM).tolist()

    def say(i: int) -> tuple[str, str]:
        label = plan.piers[i].label
        text = f"Pier {label} is {mm(float(away[i]), facts)} from {whence}; see where it belongs."
        return f"{label} is off the sheet", text

    def together(names: str) -> tuple[str, str]:
        text = f"Piers {names} are up to {mm(float(away.max()), facts)} from {whence}; see where they belong."
        return f"{len(far)} piers are off the sheet", text

    yield from each(OUTSIDE, far, by_pier(facts), say, together)


def _behind(facts: Facts, offset: Floats) -> Iterator[Flag]:
    behind = np.flatnonzero(offset < -facts.plan.rounding / 2).tolist()

    def say(i: int) -> tuple[str, str]:
        label, by = facts.plan.piers[i].label, mm(-float(offset[i]), facts)
        text = f"Pier {label} lies {by} behind the baseline; turn the yard side round or move the pier."
        return f"{label} is on the wrong side", text

    def together(names: str) -> tuple[str, str]:
        most = mm(-float(offset.min()), facts)
        text = f"Piers {names} lie up to {most} behind the baseline; turn the yard side round or move the piers."
        return f"{len(behind)} piers are on the wrong side", text

    yield from each(BEHIND, behind, by_pier(facts), say, together)


def _in_slabs(facts: Facts, radii: Floats) -> Iterator[Flag]:
    if not facts.plan.slabs or not facts.plan.piers:
        return
    piers = facts.plan.piers
    xy = facts.points.xy[facts.points.first_pier :]
    for slab in facts.plan.slabs:
        shape = area_within((slab.outline,))
        found, _ = reaching(xy, radii, shape, _near(xy, radii, shape.bounds))
        if not found:
            continue
        names = listed_finds(found, by_pier(facts))
        one = len(found) == 1
        text = (
            f"{'Pier' if one else 'Piers'} {names} {'comes' if one else 'come'} through slab {slab.id}"
            f" ({mm(slab.thickness, facts)} thick); saw {'an opening' if one else 'openings'} before digging."
        )
        title = f"{names} {'needs an opening' if one else 'need openings'} in {slab.id}"
        yield OPENING.flag(title, text, *(piers[i].id for i in found[:200]), slab.id)
