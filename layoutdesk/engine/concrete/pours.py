"""Batches of a mixer, their water, and pours of whole piers, so that no pier gets a cold joint.

Concrete that meets concrete which has begun to set leaves a cold joint. Each pier is therefore filled in one pour,
and in less time than the first batch stays workable.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing, not_negative
from layoutdesk.engine.shipped import shipped

_NOISE: Final = 1e-9


def workable_minutes() -> float:
    """Return how long the first batch of a pier stays workable: common practice, no source; less in heat."""
    return float(shipped("holes")["joint"]["minutes"])


def usual_water() -> tuple[float, float]:
    """Return the least and the most water in litres to the kg of dry mix: common practice, read the bag."""
    water = shipped("holes")["water"]
    return float(water["least_l_per_kg"]), float(water["most_l_per_kg"])


@dataclass(frozen=True, slots=True)
class Mixer:
    """A mixer: what one batch may hold in m³ of fresh concrete, and the minutes from one batch to the next."""

    batch_m3: float
    minutes: float = 10.0


@dataclass(frozen=True, slots=True)
class Batches:
    """How a mixer is charged.

    Attributes:
        bags: to a full batch.
        batches: how many in all.
        last: bags in the last batch.
        water_least: litres to a full batch, to begin with.
        water_most: litres to a full batch, never to be passed.
    """

    bags: int
    batches: int
    last: int
    water_least: float
    water_most: float


def batches(
    mixer: Mixer,
    *,
    count: int,
    yield_m3: float,
    mass_kg: float,
    water: tuple[float, float] | None = None,
) -> Batches:
    """Return the batches of whole bags.

    Args:
        mixer: what it holds.
        count: bags in all.
        yield_m3: what one bag makes.
        mass_kg: its mass.
        water: least and most litres to one bag, as printed on it; None for the usual.

    Raises:
        ReckoningError: when the mixer does not hold one bag, and for figures of nothing.
    """
    full = _full_batch(mixer, yield_m3)
    more_than_nothing("The mass of a bag", mass_kg)
    least, most = (share * mass_kg for share in usual_water()) if water is None else water
    if not 0 < least <= most:
        raise ReckoningError("The water to a bag is a least and a most, both more than nothing.")
    number = math.ceil(not_negative("The number of bags", count) / full)
    return Batches(full, number, count - full * (number - 1) if number else 0, least * full, most * full)


def _full_batch(mixer: Mixer, yield_m3: float) -> int:
    """Return how many whole bags go into the mixer at once."""
    holds = more_than_nothing("What a mixer holds", mixer.batch_m3)
    one = more_than_nothing("What one bag makes", yield_m3)
    full = math.floor(holds / one + _NOISE)
    if full == 0:
        raise ReckoningError(f"One bag makes {one / holds:.1f} times what the mixer holds: take smaller bags.")
    return full


@dataclass(frozen=True, slots=True)
class Pour:
    """Piers filled in one go, by their places in the list given, and what they take in m³."""

    piers: tuple[int, ...]
    volume: float


def pours(volumes: Sequence[float], *, most: float) -> tuple[Pour, ...]:
    """Return whole piers pour by pour, in the order given: the fewest pours that keep the order.

    Args:
        volumes: of the piers in m³, in the order in which they are to be filled.
        most: what one pour can place, in m³: a day's mixing, or one load.

    Raises:
        ReckoningError: when one pier takes more than a pour.
    """
    more_than_nothing("What one pour can place", most)
    found: list[list[int]] = []
    left = 0.0
    for k, volume in enumerate(volumes):
        not_negative("The volume of a pier", volume)
        if volume > most * (1 + _NOISE):
            raise ReckoningError(
                f"Pier {k + 1} takes {volume / most:.1f} times what one pour places: it would get a cold joint."
            )
        if not found or volume > left + most * _NOISE:
            found.append([])
            left = most
        found[-1].append(k)
        left -= volume
    return tuple(Pour(tuple(group), math.fsum(volumes[k] for k in group)) for group in found)


def minutes_to_fill(volume: float, mixer: Mixer, *, yield_m3: float) -> float:
    """Return the minutes from the first batch of a pier to its last: one batch less than it takes.

    Args:
        volume: what the pier takes, in m³.
        mixer: what it holds, and its pace.
        yield_m3: what one bag makes; a batch holds whole bags.

    Raises:
        ReckoningError: when the mixer does not hold one bag.
    """
    batch = _full_batch(mixer, yield_m3) * yield_m3
    number = math.ceil(not_negative("The volume of a pier", volume) / batch - _NOISE)
    return max(0, number - 1) * more_than_nothing("The time from one batch to the next", mixer.minutes)


def joint_sentence(minutes: float, *, limit: float | None = None) -> str:
    """Return whether a pier is filled before its first batch sets, in one sentence."""
    most = workable_minutes() if limit is None else limit
    time = f"{minutes:.0f} min from its first batch to its last"
    if minutes == 0:
        return "Filled without a cold joint: one batch fills it."
    if minutes <= most:
        return f"Filled without a cold joint: {time}, within {most:.0f} min."
    return (
        f"A cold joint threatens: {time}, and concrete stays workable for about {most:.0f} min; "
        "take a second mixer, or a truck."
    )
