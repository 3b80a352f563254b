"""What the checks look at, and how they word what they find."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Protocol, TypeAlias

from layoutdesk.engine.bays import BayTable
from layoutdesk.engine.layout import Flag, RowGap, Severity, Stage
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.reasons import shown_small
from layoutdesk.engine.rows import RowTable
from layoutdesk.engine.stakes import StakeTable
from layoutdesk.geometry.frame import Frame
from layoutdesk.plan.model import Plan

SHOWN_SINGLY: Final = 6
"""So many flags of one kind are shown one by one; with more, the rest share one flag."""
_NAMED: Final = 3
_ABOUT: Final = 60
"""The flag for the rest lights up to so many finds."""


class Facts(Protocol):
    """The topics of a Layout that the checks read."""

    @property
    def plan(self) -> Plan:
        """Return the plan."""
        ...

    @property
    def frame(self) -> Frame | None:
        """Return the baseline."""
        ...

    @property
    def points(self) -> PointTable:
        """Return all points."""
        ...

    @property
    def obstacles(self) -> Obstacles:
        """Return what a tape cannot cross."""
        ...

    @property
    def stakes(self) -> StakeTable:
        """Return how the piers are put on the ground."""
        ...

    @property
    def rows(self) -> RowTable:
        """Return the rows."""
        ...

    @property
    def gaps(self) -> tuple[RowGap, ...]:
        """Return how far neighbouring rows are apart."""
        ...

    @property
    def bays(self) -> BayTable:
        """Return the bays."""
        ...


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of flag: what all flags of it share."""

    code: str
    severity: Severity
    stage: Stage

    def flag(self, title: str, text: str, *about: str) -> Flag:
        """Return one flag of this kind."""
        return Flag(self.code, self.severity, self.stage, title, text, about)


Who: TypeAlias = Callable[[int], tuple[str, tuple[str, ...]]]
"""Gives the label of one find and the ids of the pieces concerned."""
Say: TypeAlias = Callable[[int], tuple[str, str]]
"""Gives the title and the sentence about one find."""


def listed(found: Sequence[int], who: Who) -> str:
    """Return finds as a sentence lists them: ``P1, P2 and P3``, or ``P1, P2, P3 and 12 more``."""
    names = [who(index)[0] for index in found[:_NAMED]]
    if len(found) > _NAMED:
        return f"{', '.join(names)} and {len(found) - _NAMED} more"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def each(kind: Kind, found: Sequence[int], who: Who, say: Say, *, more: str) -> Iterator[Flag]:
    """Yield a flag for each find, or a few of them and one for all the rest.

    Args:
        kind: of the flags.
        found: what was found, by index.
        who: gives label and pieces of one find; asked of many, so it must be cheap.
        say: gives title and sentence of one find.
        more: the title of the flag for the rest, as in ``More piers without a detail``.
    """
    single = len(found) if len(found) <= SHOWN_SINGLY else SHOWN_SINGLY - 1
    for index in found[:single]:
        yield kind.flag(*say(index), *who(index)[1])
    rest = found[single:]
    if rest:
        concerned = dict.fromkeys(piece for index in rest[:_ABOUT] for piece in who(index)[1])
        yield kind.flag(more, f"The same is true of {listed(rest, who)}.", *concerned)


def by_pier(facts: Facts) -> Who:
    """Return what gives the label of a pier and its id, by index of piers."""
    piers = facts.plan.piers
    return lambda i: (piers[i].label, (piers[i].id,))


def mm(value: float, facts: Facts) -> str:
    """Return a length as flags write it."""
    return shown_small(value, facts.plan)


def errors_first(flags: Iterable[Flag]) -> tuple[Flag, ...]:
    """Return the flags, errors before warnings before notes, otherwise in the order given."""
    rank = {"error": 0, "warning": 1, "note": 2}
    return tuple(sorted(flags, key=lambda flag: rank[flag.severity]))
