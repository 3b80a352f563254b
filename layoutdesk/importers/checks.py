"""Written dimensions of a foreign drawing as the plan holds them, and what of them could not be used."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from layoutdesk.geometry.vector import Vector, middle
from layoutdesk.importers.chains import chains_between
from layoutdesk.importers.dimensioned import (
    PAPER_NOISE,
    SLIP,
    SOLID,
    Dimensioned,
    Fit,
    agrees,
    bare_size_of,
    dimensions_of,
    finest_step,
    fits,
    held_to,
)
from layoutdesk.importers.linework import Drawn, Linework, Passed
from layoutdesk.plan.model import Chain, Written
from layoutdesk.plan.rules import MOST_STEP, wrong_number


@dataclass(frozen=True, slots=True)
class NotUsed:
    """A dimension that says nothing which can be checked: its text, where it stands in mm, and why."""

    text: str
    at: Vector
    why: str


@dataclass(frozen=True, slots=True)
class Checked:
    """The dimensions of a drawing in mm on the ground.

    ``line_at`` holds a point of the dimension line of each of ``written``, None where that is not known.
    """

    written: tuple[Written, ...] = ()
    line_at: tuple[Vector | None, ...] = ()
    chains: tuple[Chain, ...] = ()
    not_used: tuple[NotUsed, ...] = ()

    @property
    def passed(self) -> tuple[Passed, ...]:
        """Return what was not used, counted by the reason."""
        counted = Counter(n.why for n in self.not_used)
        return tuple(Passed("dimensions" if n > 1 else "dimension", n, why) for why, n in counted.items())


def check_dimensions(linework: Linework, scale: float, shift: Vector = (0.0, 0.0)) -> Checked:
    """Return every dimension whose text can be read, their chains, and what could not be used and why.

    Args:
        linework: the drawing.
        scale: mm on the ground of one drawing unit.
        shift: what is added to coordinates after scaling, in mm.
    """
    dimensions = dimensions_of(linework)
    bare_size = bare_size_of(linework, dimensions, scale)
    step = finest_step(dimensions, bare_size, scale)
    best = [None if d.why else _best(linework, d, scale, bare_size, step) for d in dimensions]
    if linework.kind == "pdf":
        step = _step_of_page(best, step, scale)
    trusted = _is_trusted(linework, best, scale, step)
    written: list[Written] = []
    line_at: list[Vector | None] = []
    not_used: list[NotUsed] = []
    place = _Place(scale, shift)
    for dimension, fit in zip(dimensions, best, strict=True):
        why = dimension.why or _passed_over(fit, step)
        if fit is not None and not why and dimension.loose and not agrees(linework, fit, scale, step):
            why = _not_told(fit, trusted=trusted)
        if why or fit is None:
            not_used.append(NotUsed(dimension.text, place.of(_where(dimension.options[0].drawn)), why))
            continue
        drawn = fit.option.drawn
        found_here = _written(fit, place, step)
        if any(wrong_number(v) for v in (found_here.value, *found_here.start, *found_here.end)):
            not_used.append(NotUsed(dimension.text, place.of(_where(drawn)), "beyond 10 km"))
            continue
        written.append(found_here)
        line_at.append(place.known(drawn.line_at))
    found = tuple(written)
    return Checked(found, tuple(line_at), chains_between(found, tuple(line_at)), tuple(not_used))


def written_of(linework: Linework, scale: float, shift: Vector = (0.0, 0.0)) -> tuple[Written, ...]:
    """Return every dimension whose text can be read, in mm on the ground; as :func:`check_dimensions`."""
    return check_dimensions(linework, scale, shift).written


def chains_of(written: tuple[Written, ...]) -> tuple[Chain, ...]:
    """Return the chains that dimensions make up by their places; :func:`check_dimensions` finds them better.

    It knows the dimension lines too; here only places where ends meet are known.
    """
    return chains_between(written, (None,) * len(written))


@dataclass(frozen=True, slots=True)
class _Place:
    scale: float
    shift: Vector

    def of(self, at: Vector) -> Vector:
        """Return where a place of the drawing lies on the ground."""
        return at[0] * self.scale + self.shift[0], at[1] * self.scale + self.shift[1]

    def known(self, at: Vector | None) -> Vector | None:
        """Return where a place lies on the ground, None when it is not known or lies nowhere."""
        found = None if at is None else self.of(at)
        return None if found is None or wrong_number(found[0]) or wrong_number(found[1]) else found


def _where(drawn: Drawn) -> Vector:
    return drawn.middle or drawn.line_at or middle(drawn.start, drawn.end)


def _best(
    linework: Linework, dimension: Dimensioned, scale: float, bare_size: float | None, step: float
) -> Fit | None:
    """Return the reading and the thing measured that agree, else the likeliest thing with its nearest reading."""
    every = list(fits(dimension, scale, bare_size))
    if not every:
        return None
    good = [fit for fit in every if agrees(linework, fit, scale, step)]
    if good:
        return min(good, key=lambda fit: fit.apart)
    likeliest = every[0].option
    return min((fit for fit in every if fit.option is likeliest), key=lambda fit: fit.apart)


def _step_of_page(best: list[Fit | None], step: float, scale: float) -> float:
    """Return the step with which numbers on a page are held against it: no finer than the page itself is drawn.

    How finely that is, those that agree show: three times their middle difference, within what pages are known for.
    """
    most = step / 2 + PAPER_NOISE * scale
    off = sorted(abs(f.value - f.drawn) for f in best if f is not None and abs(f.value - f.drawn) <= most)
    return max(step, 2 * min(most, 3 * off[len(off) // 2])) if off else step


def _is_trusted(linework: Linework, best: list[Fit | None], scale: float, step: float) -> bool:
    """Return whether so many numbers agree with what stands by them that those which do not are wrong."""
    solid = [f for f in best if f is not None and f.option.sure >= SOLID and f.apart <= SLIP]
    agree = sum(agrees(linework, f, scale, step) for f in solid)
    return agree >= 3 and 2 * agree > len(solid)


def _not_told(fit: Fit, *, trusted: bool) -> str:
    """Return why a text that disagrees with a line beside it is not called wrong, empty when it is."""
    if fit.apart > SLIP:
        return "no line of about that length stands by the text"
    return "" if trusted else "too few agree with the scale to tell which are wrong"


def _passed_over(fit: Fit | None, step: float) -> str:
    """Return why a dimension is not held against what is drawn, empty when it is."""
    if fit is None:
        return "nothing lies between the ends"
    if fit.option.sure < SOLID and abs(fit.value - fit.drawn) > step:
        return "no line with marked ends surely belongs to the text"
    bound = fit.reading.bound
    if (bound == "least" and fit.drawn >= fit.value) or (bound == "most" and fit.drawn <= fit.value):
        return "a least or a most is set, and kept"
    return ""


def _written(fit: Fit, place: _Place, step: float) -> Written:
    drawn = fit.option.drawn
    return Written(
        id="",
        start=place.of(drawn.start),
        end=place.of(drawn.end),
        value=fit.value,
        kind="distance" if drawn.kind == "angle" else drawn.kind,
        along=None if drawn.along is None else drawn.along % 360,
        text="".join(c if c.isprintable() else " " for c in fit.reading.text),
        step=min(MOST_STEP, held_to(fit, step)),
    )
