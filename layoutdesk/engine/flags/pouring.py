"""Checks of what is poured: posts that do not go into their piers, and mixers and pours too small for a pier.

What a pier takes is reckoned as it is drawn and as its hole comes out on average: no heights are asked for. Of
details whose piers are all poured nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from layoutdesk.engine.concrete.over_dig import usual_over_dig
from layoutdesk.engine.concrete.pours import Mixer, joint_sentence, minutes_to_fill, workable_minutes
from layoutdesk.engine.flags.facts import Facts, Kind, each, in_all, mm
from layoutdesk.engine.flags.steel import piers_by_detail
from layoutdesk.engine.holes.hole_words import chosen_bag
from layoutdesk.engine.holes.section import clear_beside, pier_parts
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.order import bags_of
from layoutdesk.engine.piers import shapes_by_detail
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.plan.model import Detail
from layoutdesk.units import format_volume

TOO_WIDE: Final = Kind("cast-in-too-wide", "error", "piers")
NO_SUCH_BAG: Final = Kind("bag-not-there", "warning", "buy")
SMALL_MIXER: Final = Kind("mixer-too-small", "warning", "buy")
COLD_JOINT: Final = Kind("cold-joint", "warning", "buy")
SMALL_POUR: Final = Kind("pour-too-small", "warning", "buy")
_HAIR: Final = 1e-9


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what does not go into piers, and what cannot be filled in one go."""
    yield from _too_wide(facts)
    plan, dig = facts.plan, facts.plan.holes.dig
    if dig.bag and all(bag.product != dig.bag for bag in bags_of(plan)):
        text = f"There is no bag “{dig.bag}” any more: choose one; {chosen_bag(plan).product} is reckoned with."
        yield NO_SUCH_BAG.flag("The chosen bag is not there", text)
    if dig.batch_m3 is not None or dig.pour_m3 is not None:
        yield from _filling(facts)


def _too_wide(facts: Facts) -> Iterator[Flag]:
    """Yield what is cast in and stands out of the concrete at its corners."""
    details = [detail for detail in facts.plan.details if detail.cast_in is not None]
    if not details:
        return
    piers = piers_by_detail(facts)
    out = {
        k: -clear for k, detail in enumerate(details) if (clear := _clear(detail)) is not None and clear < -_HAIR
    }
    mend = "Make the pier wider, or what is cast in narrower."

    def say(k: int) -> tuple[str, str]:
        detail = details[k]
        assert detail.cast_in is not None
        what = "post" if detail.cast_in.kind == "post" else "column base"
        text = (
            f"Detail {detail.id}: the corners of its {what} stand {mm(out[k], facts)} out of the concrete. {mend}"
        )
        return f"The {what} of {detail.id} does not go into its pier", text

    found = [k for k in out if details[k].id in piers]
    together = in_all(
        f"What is cast in does not go into the piers of {len(found)} details",
        f"What is cast into the piers of details {{}} stands out of the concrete. {mend}",
    )
    yield from each(TOO_WIDE, found, lambda k: (details[k].id, piers[details[k].id]), say, together)


def _clear(detail: Detail) -> float | None:
    """Return how much concrete is left beside what is cast into a pier; None where there is no pier to reckon."""
    try:
        return None if detail.cast_in is None else clear_beside(detail.cast_in, pier_parts(detail))
    except ReckoningError:
        return None


def _filling(facts: Facts) -> Iterator[Flag]:
    """Yield what a mixer or a pour is too small for."""
    plan, dig = facts.plan, facts.plan.holes.dig
    piers, shapes = piers_by_detail(facts), shapes_by_detail(plan)
    more = usual_over_dig().allowance if dig.over_dig is None else dig.over_dig
    poured = {hole.pier for hole in plan.holes.log if hole.poured}
    left = {name for name, ids in piers.items() if not poured.issuperset(ids)}
    details = [detail for detail in plan.details if detail.id in left and detail.id in shapes]
    drawn = [shapes[detail.id].drawn for detail in details]
    takes = [v.below + v.reveal + v.dug * more for v in drawn]
    names = [(detail.id, piers[detail.id]) for detail in details]
    if dig.pour_m3 is not None:
        yield from _pours(facts, names, takes, dig.pour_m3)
    if dig.batch_m3 is None:
        return
    bag, mixer = chosen_bag(plan), Mixer(dig.batch_m3, dig.minutes)
    try:
        minutes = [minutes_to_fill(volume, mixer, yield_m3=bag.yield_m3) for volume in takes]
    except ReckoningError as trouble:
        yield SMALL_MIXER.flag("The mixer does not hold one bag", str(trouble))
        return
    yield from _joints(names, minutes)


def _pours(
    facts: Facts, names: Sequence[tuple[str, tuple[str, ...]]], takes: Sequence[float], most: float
) -> Iterator[Flag]:
    """Yield the details whose piers take more than a pour places."""
    placed = format_volume(most, facts.plan.units)

    def say(k: int) -> tuple[str, str]:
        volume = format_volume(takes[k], facts.plan.units)
        text = f"A pier of {names[k][0]} takes {volume} and one pour places {placed}: it would get a cold joint."
        return f"A pier of {names[k][0]} is more than a pour", text

    found = [k for k, volume in enumerate(takes) if volume > most * (1 + _HAIR)]
    together = in_all(
        f"Piers of {len(found)} details are more than a pour",
        f"Piers of details {{}} take more than the {placed} that one pour places: they would get cold joints.",
    )
    yield from each(SMALL_POUR, found, lambda k: names[k], say, together)


def _joints(names: Sequence[tuple[str, tuple[str, ...]]], minutes: Sequence[float]) -> Iterator[Flag]:
    """Yield the details whose piers take longer to fill than concrete stays workable."""
    found = [k for k, time in enumerate(minutes) if time > workable_minutes()]

    def say(k: int) -> tuple[str, str]:
        title = f"A pier of {names[k][0]} takes too long to fill"
        return title, f"A pier of {names[k][0]}: {joint_sentence(minutes[k])}"

    together = in_all(
        f"Piers of {len(found)} details take too long to fill",
        f"Piers of details {{}} take up to {max(minutes, default=0.0):.0f} min to fill, and concrete stays workable"
        f" for about {workable_minutes():.0f} min: take a second mixer, or a truck.",
    )
    yield from each(COLD_JOINT, found, lambda k: names[k], say, together)
