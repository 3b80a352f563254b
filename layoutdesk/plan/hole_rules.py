"""What details, bags, hole logs and the rules for digging, sawing and pouring may say: for the file and the edits.

What depends on how a bar or a hole comes out, such as bars that do not fit, is no rule: the flags say it. Nor is
the name of a bar: which sizes there are, the engine knows.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from layoutdesk.plan.holes import HOOK_TURNS, CastIn, DigRule, HoleLog, OpeningRule, Steel, TruckRule
from layoutdesk.plan.model import BagProduct, Detail, Plan
from layoutdesk.plan.rules import wrong_name, wrong_number, wrong_profile, wrong_text

MOST_BARS: Final = 1000
"""The most bars of one cage; more is a slip of the keyboard."""
MOST_HOOPS: Final = 1000
DEEPEST_MM: Final = 100_000.0
"""The most that a hole is deep or wide, or its centre off."""
WIDEST_CAST_IN_MM: Final = 2000.0
THICKEST_COVER_MM: Final = 1000.0
LEAST_SPACING_MM: Final = 10.0
"""Hoops stand no closer: concrete must go between them."""
MOST_SHARE: Final = 2.0
LEAST_CHANCE: Final = 0.0001
MOST_CHANCE: Final = 0.5
MOST_PRICE: Final = 1e6
MOST_YIELD_M3: Final = 10.0
MOST_ORDER_M3: Final = 1000.0
HEAVIEST_BAG_KG: Final = 2000.0
LONGEST_BATCH_MIN: Final = 1440.0
LIGHTEST_PIECE_KG: Final = 5.0
HEAVIEST_PIECE_KG: Final = 10_000.0
DEEPEST_CUT_MM: Final = 1000.0

Wrong = tuple[str, str]
"""The field that is wrong, as a place within its entry, and the rest of a sentence about it."""

_CALLED: Final = {
    "square_from": "depth from which the hole is square",
    "tube": "depth of the form tube",
    "bars": "number of bars",
    "bar": "size of the bars",
    "hoop": "size of the hoops",
    "cover": "cover beside the steel",
    "cover_ends": "cover at the ends of the bars",
    "spacing": "spacing of the hoops",
    "first": "distance of the first hoop from the end of the bars",
    "hook": "turn of the hooks",
    "stands_out": "length of the bars above the pier",
    "width": "width of what is cast in",
    "foot": "depth of what is cast in",
    "top": "width at the top",
    "bottom": "width at the bottom",
    "along": "way of the centre along the baseline",
    "away": "way of the centre away from the house",
    "water": "depth of the water",
    "by": "name of who measured",
    "over_dig": "allowance for over-dig",
    "own": "spread of one hole",
    "common": "spread of all holes",
    "chance": "chance of running short",
    "bag": "product that is bought",
    "batch_m3": "batch of the mixer",
    "minutes": "time of a batch",
    "pour_m3": "volume of one pour",
    "step_m3": "step of the order",
    "price_m3": "price of concrete",
    "minimum_m3": "least order",
    "full_m3": "full load",
    "short_load_fee": "fee for a short load",
    "margin": "margin round the hole",
    "least_strip": "narrowest strip",
    "blade": "depth of one pass of the blade",
    "carry": "heaviest piece",
    "yield_m3": "yield",
    "mass_kg": "mass",
}


def called(place: str) -> str:
    """Return what a sentence calls a field, without an article; its last name counts."""
    if place == "cast_in.depth":
        return "length of what is cast in"
    field = place.rpartition(".")[2]
    return _CALLED.get(field, field.replace("_", " "))


def wrong_detail(detail: Detail) -> Wrong | None:
    """Return what is wrong with a detail by itself, its id apart."""
    if trouble := wrong_profile(detail.profile):
        return "profile", trouble
    if trouble := wrong_number(detail.reveal):
        return "reveal", trouble
    for field in ("square_from", "tube"):
        value: float | None = getattr(detail, field)
        if value is None:
            continue
        if trouble := wrong_number(value):
            return field, trouble
        if value < 0:
            return field, f"is {value:g} mm, which is above the ground; it must be 0 or more"
    if detail.cast_in is not None and (wrong := wrong_cast_in(detail.cast_in)):
        return f"cast_in.{wrong[0]}", wrong[1]
    if detail.steel is None:
        return None
    wrong = wrong_steel(detail.steel) or _too_many_hoops(detail, detail.steel)
    return (f"steel.{wrong[0]}", wrong[1]) if wrong else None


def wrong_cast_in(cast_in: CastIn) -> Wrong | None:
    """Return what is wrong with what is cast into a pier."""
    return (
        _more(cast_in, "width", WIDEST_CAST_IN_MM)
        or _more(cast_in, "depth", WIDEST_CAST_IN_MM)
        or _more(cast_in, "foot", DEEPEST_MM)
    )


def wrong_steel(steel: Steel) -> Wrong | None:
    """Return what is wrong with a cage by itself; whether there are such bars the engine says."""
    if not 1 <= steel.bars <= MOST_BARS:
        return "bars", f"is {steel.bars:,}; it must be from 1 to {MOST_BARS:,}"
    if trouble := wrong_name(steel.bar):
        return "bar", trouble
    if steel.hoop and (trouble := wrong_name(steel.hoop)):
        return "hoop", trouble
    if steel.hook not in HOOK_TURNS:
        return "hook", f"must be one of {', '.join(map(str, HOOK_TURNS))} degrees, not {steel.hook}"
    return (
        _between(steel, "cover", 0.0, THICKEST_COVER_MM)
        or _between(steel, "cover_ends", 0.0, THICKEST_COVER_MM)
        or _between(steel, "spacing", LEAST_SPACING_MM, DEEPEST_MM)
        or _between(steel, "first", 0.0, DEEPEST_MM)
        or _between(steel, "stands_out", 0.0, DEEPEST_MM)
    )


def wrong_hole(hole: HoleLog) -> Wrong | None:
    """Return what is wrong with a hole as logged; whether there is such a pier is asked elsewhere."""
    if wrong := _more(hole, "depth", DEEPEST_MM) or _more(hole, "top", DEEPEST_MM):
        return wrong
    if wrong := _more(hole, "bottom", DEEPEST_MM) or _between(hole, "water", 0.0, DEEPEST_MM):
        return wrong
    for field in ("along", "away"):
        if wrong := _between(hole, field, -DEEPEST_MM, DEEPEST_MM):
            return wrong
    if hole.water > hole.depth:
        return "water", f"is {hole.water:g} mm, more than the hole is deep, {hole.depth:g} mm"
    for field in ("date", "by"):
        if trouble := wrong_text(getattr(hole, field)):
            return field, trouble
    return None


def wrong_dig(dig: DigRule) -> Wrong | None:
    """Return what is wrong with the rule for digging and mixing; which grounds there are the engine knows."""
    if dig.over_dig is not None and not -0.5 <= dig.over_dig <= MOST_SHARE:
        return "over_dig", f"must be a share from -0.5 to {MOST_SHARE:g}; 0.1 is a tenth bigger than drawn"
    for field in ("own", "common"):
        share: float | None = getattr(dig, field)
        if share is not None and not 0 <= share <= MOST_SHARE:
            return field, f"must be a share from 0 to {MOST_SHARE:g}; 0.1 is a tenth of the volume"
    if trouble := wrong_name(dig.ground):
        return "ground", trouble
    if not LEAST_CHANCE <= dig.chance <= MOST_CHANCE:
        shares = f"{LEAST_CHANCE:g} to {MOST_CHANCE:g}"
        return "chance", f"must be a share from {shares}, which is {LEAST_CHANCE:.2%} to {MOST_CHANCE:.0%}"
    if trouble := wrong_text(dig.bag):
        return "bag", trouble
    if dig.batch_m3 is not None and (wrong := _more(dig, "batch_m3", MOST_YIELD_M3, "m³")):
        return wrong
    if dig.pour_m3 is not None and (wrong := _more(dig, "pour_m3", MOST_ORDER_M3, "m³")):
        return wrong
    return _more(dig, "minutes", LONGEST_BATCH_MIN, "minutes")


def wrong_truck(truck: TruckRule) -> Wrong | None:
    """Return what is wrong with how mixed concrete is ordered."""
    return (
        _more(truck, "step_m3", MOST_YIELD_M3, "m³")
        or _between(truck, "price_m3", 0.0, MOST_PRICE, "")
        or _between(truck, "minimum_m3", 0.0, MOST_ORDER_M3, "m³")
        or _between(truck, "full_m3", 0.0, MOST_ORDER_M3, "m³")
        or _between(truck, "short_load_fee", 0.0, MOST_PRICE, "")
    )


def wrong_openings(openings: OpeningRule) -> Wrong | None:
    """Return what is wrong with the rule for openings."""
    return (
        _between(openings, "margin", 0.0, DEEPEST_MM)
        or _between(openings, "least_strip", 0.0, DEEPEST_MM)
        or _between(openings, "blade", 1.0, DEEPEST_CUT_MM)
        or _between(openings, "carry", LIGHTEST_PIECE_KG, HEAVIEST_PIECE_KG, "kg")
    )


def wrong_bag(bag: BagProduct) -> Wrong | None:
    """Return what is wrong with a bag product."""
    if trouble := wrong_name(bag.product):
        return "product", trouble
    return (
        _more(bag, "yield_m3", MOST_YIELD_M3, "m³")
        or _between(bag, "mass_kg", 0.0, HEAVIEST_BAG_KG, "kg")
        or _between(bag, "price", 0.0, MOST_PRICE, "")
    )


def wrong_holes(plan: Plan) -> Iterator[Wrong]:
    """Yield what is wrong with the hole log and its rules: a place in the file, and the rest of a sentence."""
    piers = {pier.id for pier in plan.piers}
    seen: dict[str, str] = {}
    for index, hole in enumerate(plan.holes.log):
        place = f"holes.log[{index}]"
        name = hole.pier
        if name not in piers:
            yield f"{place}.pier", f"there is no pier {name[:40]}" if name.isprintable() else "names no pier"
        if name in seen:
            yield f"{place}.pier", f"{name} is logged twice, also at {seen[name]}"
        seen[name] = f"{place}.pier"
        yield from _at(place, wrong_hole(hole))
    yield from _at("holes.dig", wrong_dig(plan.holes.dig))
    yield from _at("holes.truck", wrong_truck(plan.holes.truck))
    yield from _at("holes.openings", wrong_openings(plan.holes.openings))


def _at(place: str, wrong: Wrong | None) -> Iterator[Wrong]:
    if wrong is not None:
        yield f"{place}.{wrong[0]}", wrong[1]


def _too_many_hoops(detail: Detail, steel: Steel) -> Wrong | None:
    """Return that hoops stand so close that their number is a slip of the keyboard."""
    height = detail.profile[-1][0] + max(0.0, detail.reveal)
    if not steel.hoop or height <= MOST_HOOPS * steel.spacing:
        return None
    return "spacing", f"of {steel.spacing:g} mm makes more than {MOST_HOOPS:,} hoops in one pier"


def _between(thing: Any, field: str, least: float, most: float, unit: str = "mm") -> Wrong | None:
    """Return that a number is not between two bounds; one that is no number is not."""
    if least <= getattr(thing, field) <= most:
        return None
    return field, f"must be from {least:g} to {most:,.15g} {unit}".rstrip()


def _more(thing: Any, field: str, most: float, unit: str = "mm") -> Wrong | None:
    """Return that a number is not more than nothing, or beyond all sense."""
    return (
        None
        if 0 < getattr(thing, field) <= most
        else (field, f"must be more than 0 and at most {most:,.15g} {unit}")
    )
