"""Dimensions of a drawing with what their texts may say, before anything is decided about scale or units."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import log
from typing import Final

from layoutdesk.importers.linework import Drawn, Linework
from layoutdesk.importers.written import Unread, WrittenText, readings
from layoutdesk.units import MM_PER_FOOT, MM_PER_INCH

BARE_SIZES: Final = (1.0, 1000.0, MM_PER_INCH, MM_PER_FOOT, 10.0)
"""What a number without unit may count, in millimetres, the more usual ones first."""
COARSEST_FEET: Final = MM_PER_INCH / 8
COARSEST_METRIC: Final = 1.0
"""To these steps at least a drawing is held: whole inches do not let it be half an inch off."""
PAPER_NOISE: Final = 0.11
"""How far a length drawn on a page may be off, in mm of paper: writers of pages round to a tenth and finer."""
FILE_NOISE: Final = 2e-7
"""How far an end in a file may be off, as a part of what it measures: files carry 6 to 8 digits and more."""


FARTHEST: Final = 1e12
"""In drawing units: what lies or reaches farther is a mistake of the file, and so is one part of it or less."""
SLIP: Final = log(2)
SOLID: Final = 0.6
"""From here on lines and a text surely make up a dimension, so that a number that disagrees is reported."""


@dataclass(frozen=True, slots=True)
class Option:
    """What a text may measure: a dimension and how surely it is the one; 1 for a dimension of the file itself."""

    drawn: Drawn
    sure: float = 1.0


@dataclass(frozen=True, slots=True)
class Dimensioned:
    """A text, every way to read it, and what it may measure, likeliest first.

    ``why`` says why it is of no use, if so. ``loose`` says that lines and words make it up, and that it may be no
    dimension at all.
    """

    text: str
    options: tuple[Option, ...]
    readings: tuple[WrittenText, ...] = ()
    why: str = ""
    loose: bool = False

    @property
    def bare(self) -> bool:
        """Return whether its number has no unit."""
        return bool(self.readings) and self.readings[0].bare


@dataclass(frozen=True, slots=True)
class Fit:
    """One reading of a text laid on one thing that it may measure: both in mm on the ground."""

    option: Option
    reading: WrittenText
    value: float
    drawn: float
    step: float

    @property
    def apart(self) -> float:
        """Return how far the two are from one another, as a part of the larger: as a logarithm."""
        return abs(log(self.value / self.drawn))


def dimensions_of(linework: Linework) -> tuple[Dimensioned, ...]:
    """Return all dimensions of a drawing; where it has none as such, those that lines and texts make up."""
    from layoutdesk.importers.matching import matched

    if not linework.drawn:
        return matched(linework)
    frozen = frozenset(linework.frozen)
    seen = [d for d in linework.drawn if d.layer not in frozen]
    feet = _in_feet(d.text for d in seen)
    return tuple([_read(d, feet=feet) for d in seen])


def _in_feet(texts: Iterator[str]) -> bool:
    """Return whether most texts that carry their unit are in feet and inches."""
    found = [r[0].feet for t in texts if not isinstance(r := readings(t, None), Unread) and not r[0].bare]
    return 2 * sum(found) > len(found)


def _read(drawn: Drawn, *, feet: bool) -> Dimensioned:
    options = (Option(drawn),)
    if drawn.kind == "angle":
        return Dimensioned(drawn.text, options, why="angles are not checked")
    places = (*drawn.start, *drawn.end, drawn.along or 0.0)
    if not 1 / FARTHEST < drawn.measured < FARTHEST or not all(abs(v) < FARTHEST for v in places):
        return Dimensioned(drawn.text, options, why="nothing lies between the ends")
    found = readings(drawn.text, None)
    if isinstance(found, Unread) and feet:
        found = readings(drawn.text, "ft-in")  # 8-2 is feet and inches where all others are
    if isinstance(found, Unread):
        return Dimensioned(drawn.text, options, why=f"the text {found.why}")
    return Dimensioned(drawn.text, options, found, why=use_of(found[0]))


def use_of(reading: WrittenText) -> str:
    """Return why what a text says can be held against nothing, empty when it can."""
    if reading.total is None:
        return "no number is written"
    if reading.total == 0:
        return "0 is written"
    if reading.about:
        return "only about so long (±)"
    return ""


def factor_of(drawn: Drawn) -> float:
    """Return by what a dimension multiplies what it measures, 1 where its file says something impossible."""
    return drawn.factor if 1e-6 < drawn.factor < 1e6 else 1.0


def fits(dimension: Dimensioned, scale: float, bare_size: float | None) -> Iterator[Fit]:
    """Yield each reading of a dimension on each thing that it may measure.

    Args:
        dimension: the one in question.
        scale: mm on the ground of one drawing unit.
        bare_size: what a number without unit counts, in mm; None: as the style of the dimension says.
    """
    for option in dimension.options:
        drawn = option.drawn.measured * scale
        for reading in dimension.readings:
            size = 1.0
            if reading.bare:
                size = scale / factor_of(option.drawn) if bare_size is None else bare_size
            for total in totals(reading):
                yield Fit(option, reading, total * size, drawn, reading.step * size)


def is_related(dimension: Dimensioned, scale: float, bare_size: float | None) -> bool:
    """Return whether a text may be meant for a line beside it: a slip seldom halves or doubles a number.

    A dimension of the file itself always is.
    """
    return not dimension.loose or any(fit.apart <= SLIP for fit in fits(dimension, scale, bare_size))


def totals(reading: WrittenText) -> Iterator[float]:
    """Yield each length that a text may give to its dimension: all that it repeats, or one of them; never 0."""
    whole = reading.total
    if whole:
        yield abs(whole)
    if reading.overall is None and reading.value and reading.count > 1:
        yield abs(reading.value if reading.repeats else reading.value * reading.count)


def finest_step(dimensions: tuple[Dimensioned, ...], bare_size: float | None, scale: float) -> float:
    """Return the step to which a drawing writes its dimensions, in mm.

    It is the finest that more than one text in twenty shows, and never coarser than 1/8 in or 1 mm.
    """
    steps: list[float] = []
    coarsest: list[float] = []
    for d in dimensions:
        if d.readings and not d.why:
            r = d.readings[0]
            drawn = d.options[0].drawn
            size = 1.0 if not r.bare else (bare_size if bare_size is not None else scale / factor_of(drawn))
            steps.append(r.step * size)
            inches = r.feet or (r.bare and abs(size / MM_PER_INCH - round(size / MM_PER_INCH)) < 1e-9)
            coarsest.append(COARSEST_FEET if inches else COARSEST_METRIC)
    if not steps:
        return 0.0
    steps.sort()
    return min(steps[len(steps) // 20], sorted(coarsest)[len(coarsest) // 2])


def noise_of(linework: Linework, scale: float, size: float) -> float:
    """Return how far a drawn length may be off by the making of the file, in mm on the ground."""
    return PAPER_NOISE * scale if linework.kind == "pdf" else max(0.01, FILE_NOISE * size)


def bare_size_of(linework: Linework, dimensions: tuple[Dimensioned, ...], scale: float) -> float | None:
    """Return what a number without unit counts in a drawing: that under which most of them agree, in mm.

    None is: as each dimension's style says; it wins where no other agrees with more.
    """
    bare = [d for d in dimensions if d.bare and not d.why]
    first: tuple[float | None, ...] = (None,) if linework.kind == "dxf" else ()
    best: float | None = first[0] if first else BARE_SIZES[0]
    most = -1
    for size in (*first, *BARE_SIZES):
        agree = sum(any(agrees(linework, fit, scale, 0.0) for fit in fits(d, scale, size)) for d in bare)
        if agree > most:
            best, most = size, agree
    return best


def held_to(fit: Fit, step: float) -> float:
    """Return the step to which a number is held, in mm, where the drawing's is ``step``.

    A number that nobody typed was rounded by the program that measured it, as coarsely as it shows.
    """
    return step if fit.option.drawn.typed else max(step, fit.step)


def agrees(linework: Linework, fit: Fit, scale: float, step: float) -> bool:
    """Return whether what is written is what is drawn, to half a step (0: the step of its own text)."""
    allowed = (held_to(fit, step) if step else fit.step) / 2 + noise_of(linework, scale, fit.drawn)
    return abs(fit.value - fit.drawn) <= allowed
