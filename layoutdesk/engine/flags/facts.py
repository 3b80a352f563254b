"""What the checks look at, and how they word what they find."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Protocol, TypeAlias

from layoutdesk.engine.bays import BayTable
from layoutdesk.engine.holes.pier_cages import PierCages
from layoutdesk.engine.layout import (
    ChainCheck,
    ColumnCut,
    Flag,
    HoleRow,
    Opening,
    PierHeight,
    Proof,
    RowGap,
    Severity,
    Stage,
    StringCrossing,
    StringRun,
    WrittenCheck,
)
from layoutdesk.engine.levels.entries import LevelBook
from layoutdesk.engine.levels.ground import Ground
from layoutdesk.engine.obstacles import Obstacles
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.reasons import MOST_NAMED, listed, shown_small
from layoutdesk.engine.rows import RowTable
from layoutdesk.engine.stakes import StakeTable
from layoutdesk.geometry.frame import Frame
from layoutdesk.plan.model import Plan

TOGETHER: Final = 3
"""From so many flags of one kind on, one flag says it of all."""


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

    @property
    def written(self) -> tuple[WrittenCheck, ...]:
        """Return the dimensions as the drawing writes them."""
        ...

    @property
    def chains(self) -> tuple[ChainCheck, ...]:
        """Return the chains of dimensions."""
        ...

    @property
    def proof(self) -> Proof | None:
        """Return what the measures of the site say."""
        ...

    @property
    def has_heights(self) -> bool:
        """Return whether the plan says anything of heights."""
        ...

    @property
    def ground(self) -> Ground:
        """Return the ground."""
        ...

    @property
    def level_book(self) -> LevelBook | None:
        """Return the level book worked out; None where nothing was booked."""
        ...

    @property
    def heights(self) -> tuple[PierHeight, ...]:
        """Return the heights of every pier."""
        ...

    @property
    def pier_cages(self) -> PierCages:
        """Return the cage of every pier."""
        ...

    @property
    def strings(self) -> tuple[StringRun, ...]:
        """Return the strings."""
        ...

    @property
    def crossings(self) -> tuple[StringCrossing, ...]:
        """Return where strings cross."""
        ...

    @property
    def openings(self) -> tuple[Opening, ...]:
        """Return what is sawn out of slabs."""
        ...

    @property
    def holes(self) -> tuple[HoleRow, ...]:
        """Return the hole of every pier."""
        ...

    @property
    def columns(self) -> tuple[ColumnCut, ...]:
        """Return the columns."""
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


Sum: TypeAlias = Callable[[str], tuple[str, str]]
"""Gives the title and the sentence about all finds together, from their listed names."""


def listed_finds(found: Sequence[int], who: Who) -> str:
    """Return finds as a sentence lists them: ``P1, P2 and P3``, or ``P1, P2, P3 and 12 more``."""
    return listed([who(index)[0] for index in found[:MOST_NAMED]], of=len(found))


def each(kind: Kind, found: Sequence[int], who: Who, say: Say, together: Sum) -> Iterator[Flag]:
    """Yield a flag for each find, or from three finds on one flag for all of them.

    Args:
        kind: of the flags.
        found: what was found, by index.
        who: gives label and pieces of one find; asked of every find, so it must be cheap.
        say: gives title and sentence of one find.
        together: gives title and sentence of all of them.
    """
    if len(found) < TOGETHER:
        for index in found:
            yield kind.flag(*say(index), *who(index)[1])
    else:
        concerned = dict.fromkeys(piece for index in found for piece in who(index)[1])
        yield kind.flag(*together(listed_finds(found, who)), *concerned)


def in_all(title: str, sentence: str) -> Sum:
    """Return how all finds are told when only their names are said of them, in place of ``{}``."""
    return lambda names: (title, sentence.format(names))


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
