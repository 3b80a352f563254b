"""A foreign file straight to a plan, with the program's own proposal and nobody to ask."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from layoutdesk.errors import FileError, LengthError
from layoutdesk.importers.linework import Linework
from layoutdesk.importers.proposal import Becomes, Proposal, ScaleGuess
from layoutdesk.importers.reading import FileKind, kind_of, read_linework
from layoutdesk.plan.model import Plan
from layoutdesk.plan.whole import shown
from layoutdesk.units import parse_length

UNITS: Final = {"in": 25.4, "ft": 304.8, "mm": 1.0, "cm": 10.0, "m": 1000.0}
"""Millimetres of the units that may be named for a file that names none."""

_SCALES: Final = (0.05, 20_000.0)
_RATIO: Final = re.compile(r"(?:1\s*[:/]\s*)?(\d{1,6}(?:\.\d{1,9})?)")
_PLURALS: Final[dict[Becomes, str]] = {
    "pier": "piers",
    "beam line": "beam lines",
    "wall": "walls",
    "attachment": "attachments",
    "slab": "slabs",
    "keep-out": "keep-outs",
    "control point": "control points",
    "spot": "spots",
}


@dataclass(frozen=True, slots=True)
class Made:
    """A plan made of a foreign file, and sentences on what was taken and what was passed over."""

    plan: Plan
    report: tuple[str, ...]


def scale_typed(text: str) -> float:
    r"""Return how many times larger the ground is than the drawing: from ``48``, ``1:48`` or ``1/4"=1'-0"``.

    Raises:
        ValueError: when it is no scale.
    """
    left, equals, right = text.partition("=")
    if equals:
        try:
            drawn, meant = parse_length(left, "ft-in"), parse_length(right, "ft-in")
        except LengthError as error:
            raise ValueError(str(error)) from None
        scale = meant / drawn if drawn > 0 else 0.0
    else:
        typed = _RATIO.fullmatch(text.strip())
        scale = float(typed[1]) if typed else 0.0
    if not _SCALES[0] <= scale <= _SCALES[1]:
        raise ValueError(f"{text} is no scale")
    return scale


def made_straight(path: Path, *, unit: float | None = None, scale: float | None = None) -> Made:
    """Return the plan that the program makes of a DXF, the first page of a PDF or a table of points by itself.

    Args:
        path: the file.
        unit: millimetres of one unit, for a file that names none or whose own is in doubt.
        scale: how many times larger the ground is than the drawing.

    Raises:
        FileError: when it cannot be read, when nobody says its scale, or when nothing of a plan is in it.
    """
    from layoutdesk.importers.recognise import plan_of

    kind = kind_of(path)
    name = shown(path)
    proposal = _proposed(path, kind, name, unit, scale)
    if not proposal.scale.sure:
        raise FileError(_doubt(kind, name, proposal.scale))
    plan = plan_of(proposal)
    if next(plan.pieces(), None) is None:
        raise FileError(
            f"{name}: nothing in it looks like a pier, a wall or a beam line; open it at the desk and say what its "
            "lines are"
        )
    return Made(plan, tuple(_report(proposal, plan)))


def _proposed(path: Path, kind: FileKind | None, name: str, unit: float | None, scale: float | None) -> Proposal:
    if kind == "points":
        from layoutdesk.importers.points import read_points_file

        if scale is not None:
            raise FileError(
                f"{name}: a table of points has no scale; leave out --scale and give its unit with --unit"
            )
        return read_points_file(path, unit=unit)
    from layoutdesk.importers.recognise import propose

    if kind == "pdf" and unit is not None:
        raise FileError(f"{name}: a page has no unit; leave out --unit and give its scale with --scale, as 1:48")
    linework = read_linework(path)
    return propose(linework, _scale_said(linework, name, unit, scale))


def _scale_said(linework: Linework, name: str, unit: float | None, scale: float | None) -> ScaleGuess | None:
    """Return the scale that was asked for; None where the drawing's own word holds."""
    if linework.kind == "pdf":
        return None if scale is None else ScaleGuess(scale=scale, why="as it was asked for")
    if scale is not None:
        one = linework.unit or unit
        if one is None:
            raise FileError(f"{name}: it does not say its unit, so --scale needs --unit too: in, ft, mm, cm or m")
        return ScaleGuess(scale=one * scale, why="as it was asked for")
    if unit is None:
        return None
    if linework.unit is not None:
        from layoutdesk.importers.scale import guess_scale

        guess = guess_scale(linework)
        if guess.sure:
            return guess
    return ScaleGuess(scale=unit, why="as it was asked for")


def _doubt(kind: FileKind | None, name: str, guess: ScaleGuess) -> str:
    if kind == "pdf":
        return f'{name}: its scale is not sure; give it with --scale, as 1:48 or 1/4"=1\'-0"'
    likely = next((word for word, mm in UNITS.items() if math.isclose(mm, guess.scale, rel_tol=1e-6)), "")
    perhaps = f" ({likely} is likely)" if likely else ""
    return f"{name}: what its unit is, is not sure; give it with --unit: in, ft, mm, cm or m{perhaps}"


def _report(proposal: Proposal, plan: Plan) -> Iterator[str]:
    """Yield what was taken and what was passed over, each in one line."""
    counts: dict[Becomes, int] = {
        "pier": len(plan.piers),
        "beam line": len(plan.lines),
        "wall": len(plan.walls),
        "attachment": len(plan.attachments),
        "slab": len(plan.slabs),
        "keep-out": len(plan.keepouts),
        "control point": len(plan.controls),
        "spot": len(plan.spots),
    }
    taken = [f"{n:,} {what if n == 1 else _PLURALS[what]}" for what, n in counts.items() if n]
    if plan.written:
        taken.append(f"{len(plan.written):,} written dimension{'s' * (len(plan.written) > 1)}")
    yield f"{proposal.name}: taken: {', '.join(taken)}"
    guess = proposal.scale
    agree = (
        f"; {guess.agree} of {guess.written} dimensions agree" if guess.written and "agree" not in guess.why else ""
    )
    yield f"{proposal.name}: one unit is {guess.scale:.9g} mm on the ground, {_clause(guess.why)}{agree}"
    for note in proposal.notes:
        yield f"{proposal.name}: {note.rstrip('.')}"
    if left := proposal.count("nothing"):
        yield f"{proposal.name}: {left:,} other thing{'s' * (left > 1)} of it became nothing"
    for passed in proposal.passed:
        yield f"{proposal.name}: passed over {passed.count:,} {passed.what}: {passed.why}"


def _clause(sentence: str) -> str:
    text = sentence.rstrip(". ")
    return text[:1].lower() + text[1:]
