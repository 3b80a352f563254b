"""Checks of what is sawn out of slabs: openings that join, slabs that fall apart, cuts over what lies below."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from layoutdesk.engine.flags.facts import Facts, Kind, each, in_all, mm
from layoutdesk.engine.layout import Flag, Opening
from layoutdesk.engine.reasons import listed
from layoutdesk.geometry.polygon import GRID_MM, area_within
from layoutdesk.plan.model import Slab
from layoutdesk.units import format_mass

JOINED = Kind("openings-joined", "note", "piers")
PARTED = Kind("slab-in-parts", "warning", "piers")
GONE = Kind("slab-gone", "warning", "piers")
OVER_KEEPOUT = Kind("cut-in-keepout", "error", "piers")
HEAVY = Kind("piece-too-heavy", "warning", "piers")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what openings must look at; nothing, and nothing worked out, where there is no slab."""
    if not facts.plan.slabs or not facts.openings:
        return
    yield from _joined(facts)
    yield from _left(facts)
    yield from _over_keepouts(facts)
    yield from _heavy(facts)


def _joined(facts: Facts) -> Iterator[Flag]:
    found = [k for k, opening in enumerate(facts.openings) if len(opening.piers) > 1]
    least = mm(facts.plan.holes.openings.least_strip, facts)

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        opening = facts.openings[k]
        return opening.id, (*opening.pier_ids[:200], opening.slab)

    def say(k: int) -> tuple[str, str]:
        opening = facts.openings[k]
        names = listed(opening.piers)
        text = f"The openings of {names} are sawn as one, {opening.id}: less than {least} of slab {opening.slab}"
        return f"{names} share an opening", f"{text} would be left standing between them."

    together = in_all(
        f"{len(found)} openings hold several piers",
        f"Openings {{}} are each sawn as one for several piers: less than {least} of slab would be left standing"
        " between them.",
    )
    yield from each(JOINED, found, who, say, together)


def _left(facts: Facts) -> Iterator[Flag]:
    """Yield slabs that openings part, or of which nothing is left."""
    slabs = {slab.id: slab for slab in facts.plan.slabs}
    for name, group in groupby(facts.openings, key=lambda opening: opening.slab):
        sawn = tuple(group)
        if all(len(opening.outline) == len(opening.cuts) or len(opening.cuts) == 1 for opening in sawn):
            continue  # each lies within the slab, or takes a corner or a side of it: what is left holds together
        before, after = _parts(slabs[name], sawn)
        ids = listed([opening.id for opening in sawn])
        if after == 0:
            text = f"Openings {ids} take the whole of slab {name}: break it out, and think of what stands on it."
            yield GONE.flag(f"Nothing is left of {name}", text, name)
        elif after > before:
            text = (
                f"Openings {ids} part slab {name} into {after} pieces, which may then move against each other: ask"
                " the designer whether they may stand so, or move the piers."
            )
            yield PARTED.flag(f"Openings part {name}", text, name)


def _parts(slab: Slab, sawn: tuple[Opening, ...]) -> tuple[int, int]:
    """Return of how many pieces a slab is before and after it is sawn."""
    import shapely

    whole = area_within((slab.outline,))
    # Corners are turned back into the plan, so that they lie a hair beside the outline: what is as thin is nothing.
    openings = area_within([opening.outline for opening in sawn]).buffer(100 * GRID_MM)
    pieces = [
        [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and part.area > 1.0]
        for shape in (whole, shapely.difference(whole, openings))
    ]
    return len(pieces[0]), len(pieces[1])


def _over_keepouts(facts: Facts) -> Iterator[Flag]:
    import shapely

    known = facts.obstacles
    if not any(known.ids):
        return
    shapes = [shapely.Polygon(opening.outline) for opening in facts.openings]
    for k, (label, piece) in enumerate(zip(known.labels, known.ids, strict=True)):
        if piece is None:
            continue
        hit = shapely.intersects(known.smaller(k), shapes)
        for opening in (opening for opening, over in zip(facts.openings, hit.tolist(), strict=True) if over):
            text = (
                f"Opening {opening.id} reaches over {label}: do not saw there before it was found and marked; move"
                f" {'the pier' if len(opening.piers) == 1 else 'the piers'}, or make the opening smaller."
            )
            yield OVER_KEEPOUT.flag(f"{opening.id} reaches over {label}", text, piece, *opening.pier_ids[:200])


def _heavy(facts: Facts) -> Iterator[Flag]:
    units, carry = facts.plan.units, facts.plan.holes.openings.carry
    for opening in facts.openings:
        if opening.heaviest > carry * (1 + 1e-6):
            text = (
                f"The heaviest piece of opening {opening.id} is {format_mass(opening.heaviest, units)}, and"
                f" {format_mass(carry, units)} can be carried: break it up by machine, or let more be carried."
            )
            yield HEAVY.flag(f"{opening.id} comes out too heavy", text, opening.slab, *opening.pier_ids[:200])
