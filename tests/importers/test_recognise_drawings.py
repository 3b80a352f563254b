"""Of eighty drawings as designers make them, nearly all is found, and little is proposed that is not there."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from layoutdesk.importers.dxf import read_dxf
from layoutdesk.importers.proposal import ScaleGuess
from layoutdesk.importers.recognise import plan_of, propose
from layoutdesk.plan.validate import check
from tests.importers.drawings import drawing
from tests.importers.drawings_count import totals

SHARE_FOUND = {"piers": 0.98, "marks": 0.97, "walls": 0.9, "beam lines": 0.9}
SHARE_FALSE = {"piers": 0.02, "marks": 0.02, "walls": 0.1, "beam lines": 0.1}


@pytest.mark.parametrize("seeds", [range(40), range(40, 80)], ids=["looked at", "held out"])
def test_nearly_all_is_found_and_little_else(seeds: range) -> None:
    for kind, count in totals(seeds).items():
        assert count.recall >= SHARE_FOUND[kind], (kind, count)
        assert count.false_share <= SHARE_FALSE[kind], (kind, count)


@pytest.mark.parametrize("seed", range(0, 80, 4))
def test_centres_are_exact(seed: int) -> None:
    one = drawing(seed)
    proposal = propose(one.sketch.linework(), ScaleGuess(scale=one.sketch.unit, why="the file says so"))
    sx, sy = proposal.shift
    centres = [c.centre for c in proposal.candidates if c.becomes == "pier"]
    # A drawing that lies far out has its own last digit; nearer to zero a millionth of a millimetre holds.
    far = max(abs(v) for v in (*one.sketch.origin, 1.0))
    limit = max(1e-6, 4 * far * 2.0**-52)
    for pier in one.piers:
        assert min(math.dist(c, (pier.at[0] + sx, pier.at[1] + sy)) for c in centres) <= limit


@pytest.mark.parametrize("seed", range(80))
def test_every_shape_is_in_one_candidate_and_the_plan_is_valid(seed: int) -> None:
    one = drawing(seed)
    linework = one.sketch.linework()
    proposal = propose(linework, ScaleGuess(scale=one.sketch.unit, why="the file says so"))
    shapes = sorted(shape for c in proposal.candidates for shape in c.shapes)
    assert shapes == list(range(len(linework.shapes)))
    assert {c.group for c in proposal.candidates} <= {g.key for g in proposal.groups}
    check(plan_of(proposal))


@pytest.mark.parametrize("seed", range(3, 80, 11))
def test_the_same_is_found_in_a_file(seed: int, tmp_path: Path) -> None:
    one = drawing(seed)
    file = tmp_path / "drawing.dxf"
    one.sketch.document().saveas(file)
    scale = ScaleGuess(scale=one.sketch.unit, why="the file says so")
    ours = propose(one.sketch.linework(), scale)
    read = propose(read_dxf(file), scale)
    for becomes in ("pier", "beam line", "wall"):
        mine = sorted(
            (round(c.centre[0], 3), round(c.centre[1], 3), c.mark) for c in ours.candidates if c.becomes == becomes
        )
        theirs = sorted(
            (round(c.centre[0], 3), round(c.centre[1], 3), c.mark) for c in read.candidates if c.becomes == becomes
        )
        assert len(mine) == len(theirs)
        assert all(math.dist(a[:2], b[:2]) < 0.01 and a[2] == b[2] for a, b in zip(mine, theirs, strict=True))


def test_twice_gives_the_same() -> None:
    linework = drawing(7).sketch.linework()
    scale = ScaleGuess(scale=25.4, why="")
    assert propose(linework, scale) == propose(linework, scale)
