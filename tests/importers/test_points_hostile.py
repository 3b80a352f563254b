"""Tables of points that are none, too long or broken: one sentence, or rows passed over."""

from __future__ import annotations

import contextlib
import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.errors import FileError
from layoutdesk.importers.points import read_points, read_points_file
from layoutdesk.importers.points_text import MOST_ROWS
from layoutdesk.importers.proposal import Proposal

GOOD = "id,x (mm),y (mm)\nP1,100,200\n"


@pytest.mark.parametrize(
    "text",
    ["", "\n\n", "# only remarks\n", "hello world", "id,x\n1,2\n", "id,x,y\n", "id,x,y\nP1,a,b\n", "\0\1\2\3"],
)
def test_what_holds_no_points_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(FileError) as refused:
        read_points(text, "points.csv")
    assert str(refused.value).startswith("points.csv: ")
    assert "\n" not in str(refused.value)


def test_rubbish_of_bytes_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "points.csv"
    path.write_bytes(bytes((n * n * 7 + n // 3) % 256 for n in range(20_000)))
    with pytest.raises(FileError, match=r"points\.csv: it is no text"):
        read_points_file(path)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"gone\.csv: it cannot be read"):
        read_points_file(tmp_path / "gone.csv")


def test_a_million_rows_are_refused_before_they_are_read() -> None:
    text = "id,x (mm),y (mm)\n" + "P1,100,200\n" * 1_000_000
    with pytest.raises(FileError, match="more than 100,000 rows"):
        read_points(text, "points.csv")


def test_reading_can_be_stopped() -> None:
    class StoppedError(Exception):
        pass

    told: list[float] = []

    def tell(share: float) -> None:
        told.append(share)
        if share > 0.3:
            raise StoppedError

    with pytest.raises(StoppedError):
        read_points("id,x (mm),y (mm)\n" + "P1,100,200\n" * 20_000, "points.csv", tell=tell)
    assert told == sorted(told)
    assert told[-1] < 0.5


def test_the_longest_table_is_read() -> None:
    rows = "".join(f"P{n},{n},{n}\n" for n in range(MOST_ROWS))
    assert len(read_points("id,x (mm),y (mm)\n" + rows, "points.csv").candidates) == MOST_ROWS


def test_a_quote_that_never_ends_takes_no_other_row_with_it() -> None:
    text = GOOD + '"P2,300,400\n' + "".join(f"P{n},{n},{n}\n" for n in range(3, 20))
    assert len(read_points(text, "points.csv").candidates) == 19


def _read(text: str) -> tuple[Proposal | None, str]:
    """Return what was read, or the sentence of the refusal."""
    try:
        return read_points(text, "points.csv"), ""
    except FileError as refused:
        return None, str(refused)


def test_every_truncation_is_read_or_refused() -> None:
    text = '# porch\nid;"x\n[m]";y [m];type\nP1;1,25;"-3,5";pier\n"P;2";2,5;0,25;\nC1;0;0;corner\n'
    for end in range(len(text)):
        proposal, sentence = _read(text[:end])
        assert proposal is not None or sentence.startswith("points.csv: ")
        assert proposal is None or all(math.isfinite(v) for c in proposal.candidates for v in c.centre)


@given(text=st.text(max_size=200) | st.text("0123456789.,;\t|'\"/- \nPxyeE+#()m", max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    proposal, sentence = _read(text)
    assert "\n" not in sentence
    if proposal is not None:
        assert all(math.isfinite(v) and abs(v) <= 1e7 for c in proposal.candidates for v in c.centre)
        assert all(c.mark.isprintable() and len(c.mark) <= 40 for c in proposal.candidates)


@given(data=st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(data: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    path = tmp_path_factory.mktemp("any") / "points.csv"
    path.write_bytes(data)
    with contextlib.suppress(FileError):
        assert read_points_file(path).candidates


numbers = st.decimals(-100_000, 100_000, places=4)


@given(
    places=st.lists(st.tuples(numbers, numbers), min_size=1, max_size=20),
    unit=st.sampled_from(["mm", "cm", "m", "in", "ft"]),
    way=st.sampled_from([(",", "."), (";", ","), ("\t", "."), ("|", "."), (";", "."), ("\t", ",")]),
)
def test_numbers_are_read_to_the_nearest_float(
    places: list[tuple[object, object]], unit: str, way: tuple[str, str]
) -> None:
    """Whatever parts cells and decimals, a number times its unit is rounded once."""
    mm = {
        "mm": Fraction(1),
        "cm": Fraction(10),
        "m": Fraction(1000),
        "in": Fraction(127, 5),
        "ft": Fraction(1524, 5),
    }[unit]
    sign, point = way
    rows = [f"id{sign}x [{unit}]{sign}y [{unit}]"]
    rows += [f"Q{n}{sign}{x}{sign}{y}".replace(".", point) for n, (x, y) in enumerate(places)]
    wanted = [(float(Fraction(str(x)) * mm), float(Fraction(str(y)) * mm)) for x, y in places]
    near = [p for p in wanted if max(map(abs, p)) <= 4e6]
    if len(near) != len(wanted):
        return
    proposal = read_points("\n".join(rows), "points.csv")
    assert [c.centre for c in proposal.candidates] == wanted
