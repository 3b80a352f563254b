"""Checks of the cages of piers: whether bars fit, are covered, held by their hoops, and long enough to be bought.

Rules and their editions stand in the sentences; local code and the designer decide.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.flags.facts import Facts, Kind, by_pier, each, in_all, mm
from layoutdesk.engine.holes.cages import About, CageFound, cage_of
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.steel.stock import stock_sold
from layoutdesk.plan.model import Detail

NOT_RECKONED: Final = Kind("steel-not-reckoned", "error", "piers")
NO_HEIGHT: Final = Kind("pier-too-low-for-cage", "error", "piers")
TOO_LONG: Final = Kind("bars-longer-than-stock", "warning", "piers")


@dataclass(frozen=True, slots=True)
class _Wrong:
    """What is wrong with cages: the kind of its flags, a title of one, a sentence of many, and what to do."""

    kind: Kind
    one: str
    many: str
    mend: str


_CHECKED: Final[Mapping[About, _Wrong]] = {
    "bars": _Wrong(
        Kind("bars-too-close", "warning", "piers"),
        "The bars of {} do not fit",
        "The bars of details {} stand too close to each other.",
        "Take fewer or thinner bars, or make the pier wider.",
    ),
    "cover": _Wrong(
        Kind("cover-too-thin", "warning", "piers"),
        "There is too little cover on the steel of {}",
        "The steel of details {} has too little cover.",
        "Give it more: where water reaches steel, it rusts and splits the concrete.",
    ),
    "hooks": _Wrong(
        Kind("hooks-without-room", "warning", "piers"),
        "The hooks of {} have no room",
        "The hooks of details {} have no room.",
        "Take straight bars or thinner ones, or make the foot wider.",
    ),
    "hoop spacing": _Wrong(
        Kind("hoops-too-far-apart", "warning", "piers"),
        "The hoops of {} are too far apart",
        "The hoops of details {} are too far apart.",
        "Set a smaller spacing, or the first one nearer to the end.",
    ),
    "hoop size": _Wrong(
        Kind("hoops-too-thin", "warning", "piers"),
        "The hoops of {} are too thin",
        "The hoops of details {} are too thin for their bars.",
        "Take thicker ones.",
    ),
    "post": _Wrong(
        Kind("post-in-cage", "warning", "piers"),
        "No room in the cage for the post of {}",
        "The posts of details {} do not go into their cages.",
        "Take a thinner post, a wider pier, or a column base on top.",
    ),
}


def check(facts: Facts) -> Iterator[Flag]:
    """Yield what is wrong with the steel of details that have piers; nothing for a plan without steel."""
    details = [detail for detail in facts.plan.details if detail.steel is not None]
    if not details:
        return
    piers = piers_by_detail(facts)
    used = [detail for detail in details if detail.id in piers]
    cages = [cage_of(detail, units=facts.plan.units, rounding=facts.plan.rounding) for detail in used]
    yield from _not_reckoned(used, cages, piers)
    for about in _CHECKED:
        yield from _bad(about, used, cages, piers)
    yield from _too_long(facts, used, cages, piers)


def check_heights(facts: Facts) -> Iterator[Flag]:
    """Yield the piers that are too low for a cage that can be made as drawn; nothing without steel and heights."""
    if not facts.has_heights or all(detail.steel is None for detail in facts.plan.details):
        return
    cages, piers = facts.pier_cages, facts.plan.piers
    as_drawn = {
        name: cage_of(detail, units=facts.plan.units, rounding=facts.plan.rounding).trouble
        for name, detail in cages.details.items()
    }
    trouble = {key: cage.trouble for key, cage in cages.found.items() if cage.trouble and not as_drawn[key[0]]}
    if not trouble:
        return
    found = {k: trouble[key] for k, key in enumerate(cages.keys) if key in trouble}
    mend = "Make its hole deeper or its top higher, or give it a detail of its own."

    def say(k: int) -> tuple[str, str]:
        label = piers[k].label
        return f"{label} is too low for its cage", f"Pier {label}: {found[k]} {mend}"

    together = in_all(
        f"{len(found)} piers are too low for their cages",
        "Piers {} are too low for their cages. Make their holes deeper or their tops higher, or give them details"
        " of their own.",
    )
    yield from each(NO_HEIGHT, list(found), by_pier(facts), say, together)


def piers_by_detail(facts: Facts) -> dict[str, tuple[str, ...]]:
    """Return the ids of the piers of every detail that has any."""
    found: dict[str, list[str]] = {}
    for pier in facts.plan.piers:
        if pier.detail is not None:
            found.setdefault(pier.detail, []).append(pier.id)
    return {name: tuple(ids) for name, ids in found.items()}


def _not_reckoned(
    details: Sequence[Detail], cages: Sequence[CageFound], piers: Mapping[str, tuple[str, ...]]
) -> Iterator[Flag]:
    def say(k: int) -> tuple[str, str]:
        name = details[k].id
        return f"The steel of {name} cannot be reckoned", f"Detail {name}: {cages[k].trouble}"

    found = [k for k, cage in enumerate(cages) if cage.trouble]
    together = in_all(
        f"The steel of {len(found)} details cannot be reckoned",
        "The steel of details {} cannot be reckoned: look at their sections, which say why.",
    )
    yield from each(NOT_RECKONED, found, lambda k: (details[k].id, piers[details[k].id]), say, together)


def _bad(
    about: About, details: Sequence[Detail], cages: Sequence[CageFound], piers: Mapping[str, tuple[str, ...]]
) -> Iterator[Flag]:
    wrong = _CHECKED[about]
    bad = {
        k: " ".join(one.says for one in cage.checks if one.about == about and not one.good)
        for k, cage in enumerate(cages)
    }
    found = [k for k, says in bad.items() if says]

    def say(k: int) -> tuple[str, str]:
        return wrong.one.format(details[k].id), f"Detail {details[k].id}: {bad[k]} {wrong.mend}"

    title = wrong.one.format(f"{len(found)} details")
    together = in_all(title, f"{wrong.many} {wrong.mend}")
    yield from each(wrong.kind, found, lambda k: (details[k].id, piers[details[k].id]), say, together)


def _too_long(
    facts: Facts, details: Sequence[Detail], cages: Sequence[CageFound], piers: Mapping[str, tuple[str, ...]]
) -> Iterator[Flag]:
    most = stock_sold(facts.plan.units).lengths[-1]
    longest = [max((kind.cut for kind in cage.cage.kinds), default=0.0) for cage in cages]
    found = [k for k, cut in enumerate(longest) if cut > most]
    sold = f"the longest that is sold is {mm(most, facts)} (common practice, no source). Have them lapped"

    def say(k: int) -> tuple[str, str]:
        name = details[k].id
        return (
            f"Bars of {name} are longer than stock",
            f"Detail {name}: its bars are cut to {mm(longest[k], facts)}, and {sold}.",
        )

    together = in_all(f"Bars of {len(found)} details are longer than stock", f"Bars of {{}} are too long: {sold}.")
    yield from each(TOO_LONG, found, lambda k: (details[k].id, piers[details[k].id]), say, together)
