"""Letters of a PDF joined into the lines that a reader sees, at any turn, with their fractions.

A file places letters one by one or in bits, in any order. What stands on one foot line, end to end, is one text.
A fraction is drawn in small digits, one raised and one lowered, with a stroke between them that may be a letter
or a drawn line: "12'-4", small 1, small 2, inch sign become 12'-4 1/2".
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice
from typing import Final

from layoutdesk.geometry.vector import Vector, cross, distance, dot, minus
from layoutdesk.importers.linework import Words
from layoutdesk.importers.pdf_letters import Letter

CAPITALS: Final = 0.72
"""How high capitals and digits are, in parts of the type's size: 0.716 to 0.723 in the usual plain typefaces."""
UNNAMED: Final = "text"
"""The layer of texts that are on none."""
_GAP: Final = 0.7
"""What stands farther apart than this part of the size is another text."""
_BLANK: Final = 0.18
"""What stands farther apart than this part of the size has a blank between."""
_BACK: Final = 0.45
"""By how much of its size a letter may stand back over the last one: tight setting."""
_SMALL: Final = 0.9
_HEAP: Final = 120
_STROKES: Final = "/⁄∕"


@dataclass(frozen=True, slots=True)
class _Run:
    """Letters end to end: ``at`` and ``end`` on the foot line."""

    text: str
    at: Vector
    end: Vector
    size: float
    way: Vector
    layer: str

    def along(self, p: Vector) -> float:
        """Return how far along this run's foot line a point lies."""
        return dot(minus(p, self.at), self.way)

    def above(self, p: Vector) -> float:
        """Return how far above this run's foot line a point lies."""
        return cross(self.way, minus(p, self.at))


def words_of(letters: Iterable[Letter]) -> tuple[Words, ...]:
    """Return the texts of a page."""
    runs = _joined_in_order(letters)
    runs = _with_fractions(runs)  # first: a fraction stands in the gap that the next step would close
    runs = _joined_anywhere(runs)
    return tuple(word for run in runs if (word := _word(run)) is not None)


def _word(run: _Run) -> Words | None:
    text = run.text.strip()
    if not text:
        return None
    return Words(
        text=text,
        at=run.at,
        height=CAPITALS * run.size,
        width=max(0.0, run.along(run.end)),
        turn=math.degrees(math.atan2(run.way[1], run.way[0])) + 0.0,
        layer=run.layer or UNNAMED,
    )


def _follows(run: _Run, at: Vector, size: float, way: Vector, *, gap_allowed: float = _GAP) -> bool:
    """Return whether something beginning at a place goes on with a run: same size, same foot line, no gap."""
    gap = run.along(at) - run.along(run.end)
    return (
        dot(run.way, way) > 0.9997
        and abs(size - run.size) < 0.1 * max(size, run.size)
        and abs(run.above(at)) < 0.12 * size
        and -_BACK * size < gap < gap_allowed * size
    )


def _glued(run: _Run, text: str, at: Vector, end: Vector) -> _Run:
    gap = run.along(at) - run.along(run.end)
    blank = " " if gap > _BLANK * run.size and not run.text.endswith(" ") and not text.startswith(" ") else ""
    return replace(run, text=run.text + blank + text, end=end)


def _joined_in_order(letters: Iterable[Letter]) -> list[_Run]:
    """Join each letter to the one before it, where it stands close behind it; blanks that are drawn are letters.

    Others are left for the last step, which sees all of them: something else may stand between.
    """
    runs: list[_Run] = []
    for letter in letters:
        open_run = runs[-1] if runs else None
        if open_run is not None and _follows(
            open_run,
            letter.at,
            letter.size,
            letter.way,
            gap_allowed=_BLANK if open_run.layer == letter.layer else 0,
        ):
            runs[-1] = _glued(open_run, letter.text, letter.at, letter.end)
        elif not letter.text.isspace():
            runs.append(_Run(letter.text, letter.at, letter.end, letter.size, letter.way, letter.layer))
    return runs


class _Near:
    """Finds runs by where they begin."""

    def __init__(self, runs: Sequence[_Run]) -> None:
        sizes = sorted(run.size for run in runs)
        self._cell = 1.5 * max(0.5, sizes[len(sizes) // 2] if sizes else 1.0)
        self._cells: dict[tuple[int, int], list[int]] = defaultdict(list)
        for index, run in enumerate(runs):
            self._cells[self._key(run.at)].append(index)

    def _key(self, p: Vector) -> tuple[int, int]:
        return math.floor(p[0] / self._cell), math.floor(p[1] / self._cell)

    def __call__(self, p: Vector, reach: float) -> list[int]:
        """Return the runs that may begin within reach of a place.

        Of very large type only the nearer ones, and of a heap of letters only some: nobody can read those.
        """
        x, y = self._key(p)
        n = min(6, math.ceil(reach / self._cell))
        cells = (self._cells.get((a, b), ()) for a in range(x - n, x + n + 1) for b in range(y - n, y + n + 1))
        return list(islice(chain.from_iterable(cells), _HEAP))


def _joined_anywhere(runs: list[_Run]) -> list[_Run]:
    """Join runs that go on with each other although the file draws them far apart in its order."""
    near = _Near(runs)
    follower: dict[int, int] = {}
    taken: set[int] = set()
    for index, run in enumerate(runs):
        fits = [
            other
            for other in near(run.end, _GAP * run.size)
            if other != index
            and other not in taken
            and runs[other].layer == run.layer
            and run.along(runs[other].at) > 0
            and _follows(run, runs[other].at, runs[other].size, runs[other].way)
        ]
        if fits:
            nearest = min(fits, key=lambda other: distance(run.end, runs[other].at))
            follower[index] = nearest
            taken.add(nearest)
    return _chained(runs, follower)


def _chained(runs: list[_Run], follower: dict[int, int]) -> list[_Run]:
    """Return the runs with each one's followers glued on; a ring of them is cut where the file begins it."""
    led = set(follower.values())
    out: list[_Run] = []
    done: set[int] = set()
    for first in (*(i for i in range(len(runs)) if i not in led), *range(len(runs))):
        if first in done:
            continue
        run, index = runs[first], first
        done.add(first)
        while (index := follower.get(index, -1)) >= 0 and index not in done:
            done.add(index)
            run = _glued(run, runs[index].text, runs[index].at, runs[index].end)
        out.append(run)
    return out


def _with_fractions(runs: list[_Run]) -> list[_Run]:
    """Return the runs with stacked digits made fractions, and small raised digits put back into their texts."""
    runs = _stacked(runs)
    near = _Near(runs)
    used: set[int] = set()
    out: list[_Run] = []
    for index, run in sorted(enumerate(runs), key=lambda pair: (pair[1].text[0] in _STROKES, -pair[1].size)):
        if index in used:
            continue
        used.add(index)
        whole = run
        small = begun = False
        while True:
            following = [
                other
                for other in near(whole.end, _GAP * run.size)
                if other not in used and _goes_on(run, whole, runs[other], after_small=small, begun=begun)
            ]
            if not following:
                break
            nearest = min(following, key=lambda other: whole.along(runs[other].at))
            used.add(nearest)
            part = runs[nearest]
            between = "" if small or part.size >= _SMALL * run.size or part.text[0] in _STROKES else " "
            small = part.size < _SMALL * run.size
            begun = begun or small
            end = whole.along(part.end)
            whole = replace(
                whole,
                text=whole.text + (between if whole.text[-1].isdigit() else "") + part.text,
                end=(whole.at[0] + whole.way[0] * end, whole.at[1] + whole.way[1] * end),
            )
        out.append(whole)
    return out


def _goes_on(run: _Run, whole: _Run, part: _Run, *, after_small: bool, begun: bool) -> bool:
    """Return whether a part is a fraction (or a bit of one) after a text, or goes on with the text behind one."""
    gap = whole.along(part.at) - whole.along(whole.end)
    if dot(run.way, part.way) < 0.9997 or not -_BACK * run.size < gap < _GAP * run.size or part.layer != run.layer:
        return False
    above = run.above(part.at)
    if part.size >= _SMALL * run.size:
        ended = after_small or (begun and whole.text[-1:] in _STROKES)
        return ended and part.size < 1.1 * run.size and abs(above) < 0.12 * run.size
    digits = part.text.translate({ord(s): None for s in _STROKES + " "})
    if not (part.size > 0.3 * run.size and -0.5 * run.size < above < 0.75 * run.size):
        return False
    if after_small:
        return part.text[0] in _STROKES or digits.isdigit() or part.text in {'"', "″", "”"}
    before = whole.text[-1].isdigit() or whole.text[-1] in "'′’- –" + _STROKES
    return before and ((digits.isdigit() and above >= -0.1 * run.size) or "/" in part.text)


def _stacked(runs: list[_Run]) -> list[_Run]:
    """Return the runs, two short numbers that stand one above the other behind a text made one fraction.

    Numbers of a table stand one above the other as well; those have nothing directly before them.
    """
    near = _Near(runs)
    ends = _Near([replace(run, at=run.end) for run in runs])
    gone: set[int] = set()
    made: list[_Run] = []
    for index, over in enumerate(runs):
        if index in gone or not _is_short_number(over):
            continue
        for other in near(over.at, 2 * over.size):
            under = runs[other]
            if other == index or other in gone or not _is_short_number(under) or under.layer != over.layer:
                continue
            drop = -over.above(under.at)
            middles = over.along(under.at) + under.along(under.end) / 2 - over.along(over.end) / 2
            if not (
                dot(over.way, under.way) > 0.9997
                and abs(over.size - under.size) < 0.1 * over.size
                and 0.7 * over.size < drop < 1.7 * over.size
                and abs(middles) < 0.35 * over.size
            ):
                continue
            left = min(0.0, over.along(under.at))
            right = max(over.along(over.end), over.along(under.end))
            begins = _at(over, left, -drop / 2)
            before = [
                i
                for i in ends(begins, 2.5 * over.size)
                if i not in {index, other}
                and i not in gone
                and dot(runs[i].way, over.way) > 0.9997
                and -0.3 * runs[i].size < runs[i].along(begins) - runs[i].along(runs[i].end) < _GAP * runs[i].size
                # the stroke lies about the middle of the text's digits
                and abs(runs[i].above(begins) - 0.36 * (runs[i].size - over.size)) < 0.5 * runs[i].size
                and runs[i].size > 0.9 * over.size
                and (runs[i].text[-1].isdigit() or runs[i].text[-1] in "'′’-– ")
            ]
            if not before:
                continue
            main = runs[min(before, key=lambda i: distance(runs[i].end, begins))]
            # The fraction goes on with its text as small digits on the same foot line would.
            foot = _at(over, left, 0.0), _at(over, right, 0.0)
            down = main.above(foot[0])
            shifted = tuple((p[0] + main.way[1] * down, p[1] - main.way[0] * down) for p in foot)
            size = min(over.size, 0.85 * main.size)
            made.append(replace(over, text=f"{over.text}/{under.text}", at=shifted[0], end=shifted[1], size=size))
            gone |= {index, other}
            break
    return [run for index, run in enumerate(runs) if index not in gone] + made


def _is_short_number(run: _Run) -> bool:
    return run.text.strip().isdigit() and len(run.text.strip()) <= 3


def _at(run: _Run, along: float, above: float) -> Vector:
    x, y = run.way
    return run.at[0] + along * x - above * y, run.at[1] + along * y + above * x
