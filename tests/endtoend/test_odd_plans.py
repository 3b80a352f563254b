"""Plans that are allowed and odd: every command still gives what it can, and never a traceback."""

from __future__ import annotations

import copy
import io
import json
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutdesk.cli import main
from layoutdesk.places import SAMPLES
from tests.endtoend.conftest import Run

EMPTY: dict[str, Any] = {
    "layoutdesk": 1, "title": "", "units": "ft-in", "rounding": 1.5875, "walls": [], "attachments": [],
    "controls": [], "lines": [], "piers": [], "details": [], "slabs": [], "keepouts": [], "tapes": [], "levels": {},
}  # fmt: skip
BASELINE = {"origin": [0, 0], "toward": [6000, 0], "yard_side": "right"}
HOLE = {"id": "D1", "profile": [[0, 300], [800, 300]], "reveal": 50}


def pier(name: str, x: float, y: float, **more: object) -> dict[str, object]:
    """Return the entry of a pier."""
    return {"id": name, "at": [x, y], **more}


def control(name: str, x: float, y: float) -> dict[str, object]:
    """Return the entry of a control point."""
    return {"id": name, "at": [x, y]}


CORNERS = [control("C1", 0, 0), control("C2", 6000, 0)]
WITH_TAIL = [[0, 0], [2000, 0], [2000, -2000], [0, -2000], [0, 0], [-1500, 0]]
ROUND_THE_HOUSE = [[0, 0], [6000, 0], [6000, 4000], [0, 4000], [0, 0]]
ODD: dict[str, dict[str, Any]] = {
    "nothing at all": {},
    "a title only": {"title": "Porch ½ × 12′ — Ø 300 ≤ “x” <b>&amp;"},
    "one pier and nothing to measure from": {"piers": [pier("P1", 0, 0)]},
    "a pier without a detail": {"baseline": BASELINE, "piers": [pier("P1", 100, -2000)]},
    "a baseline without a length": {"baseline": {**BASELINE, "toward": [0, 0]}, "piers": [pier("P1", 0, -2000)]},
    "one control point": {"baseline": BASELINE, "controls": [control("C1", 0, 0)], "piers": [pier("P1", 0, -2000)]},
    "control points in one place": {
        "baseline": BASELINE, "controls": [control("C1", 0, 0), control("C2", 0, 0)],
        "piers": [pier("P1", 0, -2000)],
    },
    "a pier on a control point": {
        "baseline": BASELINE, "controls": CORNERS, "piers": [pier("P1", 0, 0)],
    },
    "all piers in one place": {
        "baseline": BASELINE, "controls": CORNERS,
        "lines": [{"id": "L1", "from": [0, 0], "to": [0, -5000]}], "details": [HOLE],
        "piers": [pier(f"P{n}", 0, -2000, line="L1", detail="D1") for n in range(6)],
    },
    "all piers in one row": {
        "baseline": BASELINE, "controls": CORNERS, "details": [HOLE],
        "piers": [pier(f"P{n}", 1000 * n, -2000, detail="D1") for n in range(6)],
    },
    "a wall that crosses itself": {
        "baseline": BASELINE,
        "walls": [{"id": "W1", "points": [[0, 0], [6000, 0], [6000, 3000], [3000, -3000]], "house_side": "left"}],
        "piers": [pier("P1", 100, -2000), pier("P2", 4000, 1000)],
    },
    "a wall that comes back to where it began": {
        "baseline": BASELINE,
        "walls": [{"id": "W1", "points": ROUND_THE_HOUSE, "house_side": "left"}],
        "controls": CORNERS, "piers": [pier("P1", 100, -2000)],
    },
    "a slab like a bow tie": {
        "baseline": BASELINE,
        "slabs": [{"id": "S1", "outline": [[0, 0], [2000, -2000], [2000, 0], [0, -2000]], "thickness": 100}],
        "piers": [pier("P1", 100, -3000)],
    },
    "outlines with a tail of no width": {
        "baseline": BASELINE,
        "slabs": [{"id": "S1", "outline": WITH_TAIL, "thickness": 100}],
        "keepouts": [{"id": "K1", "outline": [[x, y - 2500] for x, y in WITH_TAIL], "kind": "other"}],
        "controls": CORNERS, "piers": [pier("P1", 100, -3000), pier("P2", 500, -500)],
    },
    "ten kilometres apart": {
        "baseline": BASELINE, "controls": CORNERS, "details": [HOLE],
        "piers": [pier("P1", -9e6, -9e6, detail="D1"), pier("P2", 9e6, 9e6, detail="D1")],
    },
    "a tenth of a micrometre apart": {
        "baseline": BASELINE, "controls": CORNERS, "details": [HOLE],
        "piers": [pier("P1", 0, -2000, detail="D1"), pier("P2", 1e-4, -2000, detail="D1")],
    },
    "marks as long as they may be": {
        "baseline": BASELINE, "details": [HOLE],
        "piers": [pier(f"P{n}", 900 * n, -2000, detail="D1", mark="W" * 39 + str(n)) for n in range(5)],
    },
    "units of millimetres": {"units": "mm", "rounding": 1, "baseline": BASELINE, "piers": [pier("P1", 0, -2000)]},
}  # fmt: skip

TO_FILES = (("sheets", "out.pdf"), ("drawing", "out.dxf"), ("points", "out.csv"))


def no_desk(_: Path | None) -> int:
    """Stand in for the desk, which no command with an output opens."""
    raise AssertionError("the desk was opened")


@pytest.mark.parametrize("case", ODD)
def test_every_command_copes_with_an_odd_plan(
    case: str, tmp_path: Path, layoutdesk: Run, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = tmp_path / "odd.layout.json"
    plan.write_text(json.dumps({**EMPTY, **ODD[case]}), encoding="utf-8")
    for command, name in TO_FILES:
        code = main([command, str(plan), "-o", str(tmp_path / name)], no_desk)
        said = capsys.readouterr()
        assert (command, code, said.out, said.err) == (command, 0, "", "")
        assert (tmp_path / name).stat().st_size > 20
    assert main(["figures", str(plan)], no_desk) == 0
    figures = json.loads(capsys.readouterr().out, parse_constant=no_constant)
    assert len(figures["piers"]) == len(ODD[case].get("piers", ()))
    done = layoutdesk("picture", plan, "-o", "out.png", "--size", "300x200")
    assert (done.returncode, done.stderr) == (0, "")


def no_constant(name: str) -> None:
    """Refuse NaN and Infinity, which are no JSON."""
    raise AssertionError(name)


def test_piers_by_the_ten_thousand(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Too many for any porch, and still every one gets its numbers."""
    many = [pier(f"P{n}", 2000 * (n % 100), -2000 * (n // 100 + 1), detail="D1") for n in range(10_000)]
    plan = tmp_path / "many.layout.json"
    plan.write_text(
        json.dumps({**EMPTY, "baseline": BASELINE, "details": [HOLE], "controls": CORNERS, "piers": many}),
        encoding="utf-8",
    )
    assert main(["figures", str(plan)], no_desk) == 0
    figures = json.loads(capsys.readouterr().out)
    assert figures["piers"][9_999]["station"] == pytest.approx(2000 * 99, abs=1e-6)
    assert figures["piers"][9_999]["offset"] == pytest.approx(2000 * 100, abs=1e-6)


NASTY: st.SearchStrategy[Any] = st.one_of(
    st.sampled_from(
        [None, True, False, 0, -1, 1, 1e-9, 1e7, -1e7, 1e300, "", "P1", "C1", "\u0000", "x" * 60, [], {}]
    ),
    st.floats(allow_nan=False, allow_infinity=False),
    st.lists(st.floats(-1e4, 1e4), min_size=2, max_size=2),
)
PLANS = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(SAMPLES.glob("*.layout.json"))]


def ways(value: Any, way: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the way to every value inside JSON."""
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, inner in steps:
        yield (*way, step)
        yield from ways(inner, (*way, step))


@settings(max_examples=150)
@given(data=st.data())
def test_whatever_stands_anywhere_in_a_plan_is_taken_or_refused(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Up to three values replaced or taken out: done, or one sentence; never a fault of the program."""
    plan = copy.deepcopy(data.draw(st.sampled_from(PLANS)))
    for _ in range(data.draw(st.integers(1, 3))):
        way = data.draw(st.sampled_from(sorted(ways(plan), key=repr)))
        inner: Any = plan
        for step in way[:-1]:
            inner = inner[step]
        if data.draw(st.booleans()):
            inner[way[-1]] = data.draw(NASTY)
        else:
            del inner[way[-1]]
    file = tmp_path_factory.mktemp("odd") / "odd.layout.json"
    file.write_text(json.dumps(plan), encoding="utf-8")
    printed, said = io.BytesIO(), io.StringIO()
    with redirect_stdout(io.TextIOWrapper(printed)), redirect_stderr(said):
        code = main(["figures", str(file)], no_desk)
        size = len(printed.getvalue())
    assert code in {0, 2}, said.getvalue()
    assert said.getvalue().count("\n") == (1 if code else 0)
    assert bool(size) == (code == 0)
