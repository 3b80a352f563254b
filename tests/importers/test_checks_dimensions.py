"""Written dimensions of a drawing become what the plan holds, and planted mistakes are found, and no others."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import ezdxf
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.importers.checks import Checked, check_dimensions, written_of
from layoutdesk.importers.dxf import read_dxf
from layoutdesk.importers.linework import Drawn, Linework, Shape, Words
from layoutdesk.importers.scale import guess_scale
from layoutdesk.plan.model import Plan
from tests.importers.dimension_pages import in_millimetres, linework, page

IN = 25.4


def _file(*drawn: Drawn, unit: float | None = IN, **of: Any) -> Linework:
    return Linework(name="plan.dxf", kind="dxf", unit=unit, drawn=drawn, **of)


def _along(text: str, measured: float, *, typed: bool = True, **of: Any) -> Drawn:
    return Drawn(
        kind="distance",
        start=(0.0, 0.0),
        end=(measured, 7.0),
        measured=measured,
        text=text,
        along=0.0,
        typed=typed,
        **of,
    )


def _wrong(found: Checked) -> list[str]:
    """Return the texts that the plan's own check reports."""
    plan = Plan(written=tuple(w.__class__(**{**_fields(w), "id": f"N{i}"}) for i, w in enumerate(found.written)))
    return sorted(check.text for check in derive(plan).written if not check.agrees)


def _fields(written: Any) -> dict[str, Any]:
    return {name: getattr(written, name) for name in written.__slots__}


def test_places_are_scaled_and_then_shifted() -> None:
    (written,) = written_of(_file(_along("8'-2\"", 98.0)), IN, (1000.0, -50.0))
    assert written.start == pytest.approx((1000.0, -50.0))
    assert written.end == pytest.approx((1000.0 + 98 * IN, 7 * IN - 50.0))
    assert (written.kind, written.along, written.text) == ("distance", 0.0, "8'-2\"")
    assert written.value == pytest.approx(98 * IN)


def test_every_kind_of_dimension_from_a_file(tmp_path: Path) -> None:
    """Each kind is written once rightly and once wrongly; the wrong ones are found, and no others."""
    document = ezdxf.new("R2010", setup=True)
    document.units = 1
    space = document.modelspace()
    style = {"dimlfac": 1.0}

    def straight(p1: Any, p2: Any, base: Any, text: str, angle: float = 0.0) -> None:
        space.add_linear_dim(base=base, p1=p1, p2=p2, angle=angle, text=text, override=style).render()

    straight((0, 0), (98, 5), (0, -20), "8'-2\"")
    straight((98, 5), (194, 0), (0, -20), "8'-1\" TYP.")  # 8'-0"
    straight((0, 0), (0, 100.5), (-20, 0), "8'-4½\"", 90)
    straight((0, 0), (60, 60), (0, 0), "7'-0 7/8\"", 45)  # 84.853 in: 7'-0 7/8" to a sixteenth
    straight((0, 0), (392, 0), (0, -60), "4 @ 8'-2\" = 32'-8\"")
    straight((0, 0), (393, 0), (0, -70), "4 @ 8'-2\" = 32'-8\" O.C.")  # 32'-9"
    straight((0, 0), (98, 0), (0, -80), "4 @ 8'-2\"")
    straight((0, 0), (200, 0), (0, -90), "<>")
    space.add_aligned_dim(p1=(0, 0), p2=(30, 40), distance=5, text="4'-2\"", override=style).render()
    space.add_aligned_dim(p1=(0, 0), p2=(60, 80), distance=5, text="8'-3\"", override=style).render()  # 8'-4"
    for text in ('Ø12"', 'Ø14"'):
        space.add_diameter_dim(center=(50, 50), radius=6, angle=30, text=text, override=style).render()
    for text in ('R6"', 'R8"'):
        space.add_radius_dim(center=(50, 50), radius=6, angle=30, text=text, override=style).render()
    for text in ("8'-2\"", "9'-2\""):
        space.add_ordinate_x_dim(
            feature_location=(98, 0), offset=(0, 10), origin=(0, 0), text=text, override=style
        ).render()
    space.add_angular_dim_2l(base=(0, 20), line1=((0, 0), (10, 0)), line2=((0, 0), (10, 10))).render()
    straight((0, 0), (98, 0), (0, -99), "EQ")
    path = tmp_path / "kinds.dxf"
    document.saveas(path)

    found = check_dimensions(read_dxf(path), IN)

    assert _wrong(found) == sorted(["8'-1\" TYP.", "4 @ 8'-2\" = 32'-8\" O.C.", "8'-3\"", 'Ø14"', 'R8"', "9'-2\""])
    assert len(found.written) == 16
    assert {w.kind for w in found.written} == {"distance", "diameter", "radius", "ordinate"}
    assert sorted(n.why for n in found.not_used) == ["angles are not checked", "no number is written"]
    assert sum(passed.count for passed in found.passed) == 2


def test_a_program_that_rounds_what_it_measures_is_not_blamed() -> None:
    """2.40 for 2.4037 m is rounded where nobody typed it; typed, it is 3.7 mm off."""
    drawn = [_along(f"{2.4037 + k:.2f}", 2.4037 + k, typed=False) for k in range(5)]
    assert _wrong(check_dimensions(_file(*drawn, unit=1000.0), 1000.0)) == []
    typed = [_along(f"{2.4037 + k:.2f}", 2.4037 + k) for k in range(5)]
    assert len(_wrong(check_dimensions(_file(*typed, unit=1000.0), 1000.0))) == 5


def test_whole_inches_are_held_to_an_eighth() -> None:
    found = check_dimensions(_file(*(_along("8'-2\"", 98.0 + off) for off in (0.0, 0.05, -0.05, 0.3, -0.4))), IN)
    assert _wrong(found) == ["8'-2\"", "8'-2\""]
    assert {w.step for w in found.written} == {IN / 8}


def test_about_and_bounds() -> None:
    """About so long is held against nothing; a least that is undercut is reported."""
    drawn = (
        _along("±8'-0\"", 99.0),
        _along("8'-0\" MIN.", 97.0),
        _along("8'-0\" MIN", 95.0),
        _along("8'-0\" MAX.", 95.0),
    )
    found = check_dimensions(_file(*drawn), IN)
    assert _wrong(found) == ["8'-0\" MIN"]
    assert len(found.not_used) == 3


def test_a_point_among_digits_is_understood_by_what_is_drawn() -> None:
    """3.500 beside a line of 3500 mm parts thousands; beside one of 3.5 m it parts decimals."""
    found = check_dimensions(_file(_along("3.500", 3500.0), _along("12.450", 12450.0), unit=1.0), 1.0)
    assert [w.value for w in found.written] == [3500.0, 12450.0]
    found = check_dimensions(_file(_along("3.500", 3.5), _along("12.450", 12.45), unit=1000.0), 1000.0)
    assert [w.value for w in found.written] == [3500.0, 12450.0]


def test_numbers_without_unit_count_what_most_of_them_agree_with() -> None:
    """Lines in metres with typed millimetres, and lines in inches with a factor to millimetres."""
    metres = [_along(f"{1000 * m:.0f}", m) for m in (2.4, 3.6, 1.2)]
    wrong = _along("2500", 2.4)
    found = check_dimensions(_file(*metres, wrong, unit=1000.0), 1000.0)
    assert [w.value for w in found.written] == pytest.approx([2400, 3600, 1200, 2500])
    inches = [_along(f"{25.4 * m:.0f}", m, typed=False, factor=25.4) for m in (100.0, 50.0, 30.0)]
    found = check_dimensions(_file(*inches), IN)
    assert [w.value for w in found.written] == pytest.approx([2540, 1270, 762])


def test_frozen_layers_and_dimensions_of_nothing_are_left_out() -> None:
    drawn = (_along("8'-2\"", 98.0, layer="OFF"), _along("8'-2\"", 0.0), _along("8'-2\"", 98.0))
    found = check_dimensions(_file(*drawn, frozen=("OFF",)), IN)
    assert len(found.written) == 1
    assert [n.why for n in found.not_used] == ["nothing lies between the ends"]


@pytest.mark.parametrize("ends", ["tick", "arrow", "dot"])
@pytest.mark.parametrize("place", ["over", "gap"])
@pytest.mark.parametrize("turn", [0.0, 90.0, 33.0])
def test_wrong_numbers_on_a_page_are_found_and_no_others(ends: str, place: str, turn: float) -> None:
    wrong = (2, 7, 11)
    for seed in range(8):
        made = page(48, count=15, seed=seed, ends=ends, place=place, turn=turn, wrong=wrong, clutter=60)
        found = check_dimensions(linework(made), 48.0)
        assert _wrong(found) == sorted(made.texts[i] for i in wrong), seed
        assert len(found.written) == 15


def test_a_metric_page() -> None:
    made = page(50, count=15, write=in_millimetres, step=5.0, wrong=(4,))
    found = check_dimensions(linework(made), 50.0)
    assert _wrong(found) == [made.texts[4]]


def test_a_page_drawn_coarsely_is_not_blamed_for_its_own_rounding() -> None:
    """Coordinates to a tenth of a millimetre are 5 mm on the ground at 1:48."""
    made = page(48, count=30, digits=1, wrong=(3, 20), clutter=0)
    assert _wrong(check_dimensions(linework(made), 48.0)) == sorted(made.texts[i] for i in (3, 20))


def test_an_empty_drawing() -> None:
    assert check_dimensions(_file(), IN) == Checked()
    assert check_dimensions(Linework(name="x", kind="pdf", unit=1.0), 48.0) == Checked()


def test_of_too_large_a_drawing_it_is_said_what_was_not_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("layoutdesk.importers.matching.MOST_WORK", 0.0)
    monkeypatch.setattr("layoutdesk.importers.matching.FEWEST_TEXTS", 9)
    found = check_dimensions(linework(page(48, count=15, clutter=0)), 48.0)
    assert len(found.written) == 9
    assert "so large a drawing has too many texts to look at all" in {n.why for n in found.not_used}


def test_marks_and_notes_beside_lines_are_not_called_wrong() -> None:
    """A door's number on a wall, or the scale bar's, is no dimension of it; alone, nobody can tell."""
    made = page(48, count=15, clutter=0, write=in_millimetres, step=5.0)
    made.dimension(40.0, 150.0, 2000.0, "101")
    assert _wrong(check_dimensions(linework(made), 48.0)) == []
    alone = page(48, count=3, clutter=0, wrong=range(3))
    found = check_dimensions(linework(alone), 48.0)
    assert _wrong(found) == []
    assert "too few agree with the scale to tell which are wrong" in {n.why for n in found.not_used}


def test_places_that_are_no_numbers_are_passed_over() -> None:
    nowhere = float("inf"), float("nan")
    made = page(48, count=15)
    made.shapes += [Shape(layer="x", points=(nowhere, (0.0, 0.0))), Shape(layer="x", centre=nowhere, radius=1.0)]
    made.words.append(Words(text="8'-0\"", at=nowhere, height=2.0))
    assert len(check_dimensions(linework(made), 48.0).written) == 15
    assert guess_scale(linework(made)).scale == 48.0
    lost = Drawn(kind="distance", start=nowhere, end=(0.0, 0.0), measured=98.0, text="8'-2\"")
    assert check_dimensions(_file(lost), IN).written == ()
