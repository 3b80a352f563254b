"""Every kind of dimension: the places it joins, what it measures, and what a reader sees."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from ezdxf.document import Drawing as Document
from ezdxf.layouts import BaseLayout

from layoutdesk.importers.dxf_dimension_text import Style, formatted
from layoutdesk.importers.linework import Drawn
from tests.importers.dxf_makings import RELEASES, binary_of, new, read_again, read_bytes, text_of

PLAIN: dict[str, Any] = {"dimlunit": 2, "dimdec": 1, "dimdsep": ord("."), "dimzin": 0, "dimlfac": 1.0}
INCHES: dict[str, Any] = {"dimlunit": 4, "dimdec": 4, "dimfrac": 2, "dimzin": 3, "dimlfac": 1 / 25.4}


def styled(document: Document, name: str = "PLAN", **values: Any) -> str:
    """Add a dimension style made from scratch."""
    style = document.dimstyles.new(name)
    for key, value in values.items():
        style.set_dxf_attrib(key, value)
    return name


def drawing(
    folder: Path, add: Callable[[BaseLayout], Any], *, release: str = "R2010", render: bool = False, **style: Any
) -> Drawn:
    """Return the one dimension of a drawing."""
    document, model = new(release)
    styled(document, **(style or PLAIN))
    override = add(model)
    if render:
        override.render()
    (drawn,) = read_again(folder, document).drawn
    return drawn


def near(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return math.dist(a, b) < 1e-6


@pytest.mark.parametrize("render", [True, False])
@pytest.mark.parametrize("release", RELEASES)
def test_a_turned_length_measures_along_its_line(tmp_path: Path, release: str, render: bool) -> None:  # noqa: FBT001
    drawn = drawing(
        tmp_path,
        lambda m: m.add_linear_dim(base=(0, 50), p1=(10, 0), p2=(110, 30), angle=0, dimstyle="PLAN"),
        release=release,
        render=render,
    )
    assert (drawn.kind, drawn.start, drawn.end) == ("distance", (10, 0), (110, 30))
    assert drawn.along == pytest.approx(0)
    assert drawn.measured == pytest.approx(100, abs=1e-9)
    assert not drawn.typed
    assert drawn.line_at is not None
    assert drawn.line_at[1] == pytest.approx(50)
    if release != "R12":  # whose styles do not say how many places are written
        assert drawn.text == "100.0"


def test_an_upright_and_a_slanting_length(tmp_path: Path) -> None:
    upright = drawing(tmp_path, lambda m: m.add_linear_dim((-20, 0), (0, 0), (30, 70), angle=90, dimstyle="PLAN"))
    assert (upright.along, upright.measured) == (90.0, 70.0)
    slanting = drawing(tmp_path, lambda m: m.add_linear_dim((0, 20), (0, 0), (30, 40), angle=30, dimstyle="PLAN"))
    assert slanting.measured == pytest.approx(30 * math.cos(math.pi / 6) + 40 * math.sin(math.pi / 6))
    assert slanting.along == pytest.approx(30)


def test_an_aligned_length_is_the_straight_one(tmp_path: Path) -> None:
    drawn = drawing(
        tmp_path, lambda m: m.add_aligned_dim((0, 0), (30, 40), distance=10, dimstyle="PLAN"), render=True
    )
    assert drawn.measured == 50
    assert drawn.text == "50.0"
    assert drawn.along is None or near((30, 40), (50 * math.cos(math.radians(drawn.along)), 40))


def test_a_diameter_joins_opposite_points(tmp_path: Path) -> None:
    drawn = drawing(
        tmp_path,
        lambda m: m.add_diameter_dim(center=(100, 200), radius=15, angle=45, dimstyle="PLAN"),
        render=True,
    )
    assert drawn.kind == "diameter"
    assert drawn.measured == pytest.approx(30)
    assert near(((drawn.start[0] + drawn.end[0]) / 2, (drawn.start[1] + drawn.end[1]) / 2), (100, 200))
    assert drawn.text == "Ø30.0"
    assert drawn.along is None


def test_a_radius_joins_centre_and_edge(tmp_path: Path) -> None:
    drawn = drawing(
        tmp_path, lambda m: m.add_radius_dim(center=(100, 200), radius=15, angle=90, dimstyle="PLAN"), render=True
    )
    assert (drawn.kind, drawn.start) == ("radius", (100, 200))
    assert near(drawn.end, (100, 215))
    assert drawn.measured == pytest.approx(15)
    assert drawn.text == "R15.0"


@pytest.mark.parametrize(("along_x", "measured", "along"), [(True, 70, 0), (False, 160, 90)])
def test_an_ordinate_counts_from_its_zero(tmp_path: Path, along_x: bool, measured: float, along: float) -> None:  # noqa: FBT001
    def add(model: BaseLayout) -> Any:
        kind = model.add_ordinate_x_dim if along_x else model.add_ordinate_y_dim
        return kind(feature_location=(30, 40), offset=(5, 5), origin=(100, 200), dimstyle="PLAN")

    drawn = drawing(tmp_path, add, render=True)
    assert drawn.kind == "ordinate"
    assert near(drawn.start, (100, 200))
    assert near(drawn.end, (30, 40))
    assert drawn.along == pytest.approx(along)
    assert drawn.measured == pytest.approx(measured)
    assert drawn.text == f"{measured:.1f}"


def test_an_angle_is_that_of_the_sector_where_its_arc_lies(tmp_path: Path) -> None:
    document, model = new()
    name = styled(document, **PLAIN)
    lean = (math.cos(math.radians(60)), math.sin(math.radians(60)))
    for base in ((5, 2), (-5, 2), (-5, -2), (5, -2), (2, 5)):
        model.add_angular_dim_2l(
            base=base, line1=((2, 0), (10, 0)), line2=((3 * lean[0], 3 * lean[1]), lean), dimstyle=name
        )
    for base in ((5, 2), (-5, 2)):
        model.add_angular_dim_3p(base=base, center=(0, 0), p1=(10, 0), p2=(8, 6), dimstyle=name)
    drawn = read_again(tmp_path, document).drawn
    assert {d.kind for d in drawn} == {"angle"}
    acute = math.degrees(math.atan2(6, 8))
    assert [d.measured for d in drawn] == pytest.approx([60, 120, 60, 120, 120, acute, 360 - acute])
    assert {drawn[5].start, drawn[5].end} == {(10, 0), (8, 6)}


def test_a_jogged_radius_joins_its_true_centre(tmp_path: Path) -> None:
    document, model = new("R2010")
    values = {
        "defpoint": (1, 2),
        "chord_point": (4, 6),
        "override_center": (2, 3),
        "dimstyle": styled(document, **PLAIN),
    }
    model.new_entity("LARGE_RADIAL_DIMENSION", values)
    (drawn,) = read_again(tmp_path, document).drawn
    assert (drawn.kind, drawn.start, drawn.end, drawn.measured) == ("radius", (1, 2), (4, 6), 5)


def test_an_angle_of_parallel_lines_measures_nothing(tmp_path: Path) -> None:
    document, model = new()
    model.add_angular_dim_2l(
        base=(5, 5), line1=((0, 0), (10, 0)), line2=((0, 10), (5, 10)), dimstyle=styled(document, **PLAIN)
    )
    assert read_again(tmp_path, document).drawn[0].measured == 0


def test_a_length_along_an_arc_is_passed_over_but_its_text_is_read(tmp_path: Path) -> None:
    document, model = new("R2010")
    model.add_circle((0, 0), 1)
    model.add_arc_dim_cra(
        center=(0, 0), radius=10, start_angle=0, end_angle=90, distance=2, dimstyle=styled(document, **PLAIN)
    ).render()
    linework = read_again(tmp_path, document)
    assert not linework.drawn
    assert [(p.what, p.count) for p in linework.passed] == [("dimensions along an arc", 1)]
    assert [w.text for w in linework.words] == ["15.7"]


@pytest.mark.parametrize("save", [text_of, binary_of])
@pytest.mark.parametrize("release", RELEASES)
def test_a_text_typed_over_the_measure_is_told_apart(
    tmp_path: Path, release: str, save: Callable[[Document], bytes]
) -> None:
    document, model = new(release)
    name = styled(document, **PLAIN)
    for k, text in enumerate(["", "<>", "8'-2\\S1/2;\"", "<> TYP.", " ", "{\\H0.7x;\\C1;SEE} %%c12"]):
        model.add_linear_dim((0, 9 + k), (0, 0), (2501.9, 0), text=text, dimstyle=name).render()
    drawn = read_bytes(tmp_path, save(document)).drawn
    shown = [d.text.split(".")[0] for d in drawn[:2]]
    assert shown == ["2501", "2501"]
    assert [d.typed for d in drawn] == [False, False, True, False, False, True]
    assert drawn[2].text == "8'-2 1/2\""
    assert drawn[3].text.startswith("2501.9")
    assert drawn[3].text.endswith(" TYP.")
    assert drawn[4].text == ""
    assert drawn[5].text == "SEE Ø12"
    assert all(d.measured == pytest.approx(2501.9) for d in drawn)


def test_what_the_style_makes_of_a_number(tmp_path: Path) -> None:
    """Values as a person would write them."""
    cases: list[tuple[dict[str, Any], float, str]] = [
        (INCHES, 2501.9, "8'-2 1/2\""),
        (INCHES, 25.4 * 7, '7"'),
        (INCHES, 25.4 * 96, "8'-0\""),
        (INCHES | {"dimzin": 0}, 25.4 * 96, "8'"),
        (INCHES | {"dimzin": 1}, 25.4 * 7.5, "0'-7 1/2\""),
        (INCHES | {"dimzin": 2}, 25.4 * 96, "8'"),
        (INCHES | {"dimzin": 2}, 25.4 * 7.5, "0'-7 1/2\""),
        (INCHES | {"dimlunit": 3, "dimdec": 2}, 25.4 * 98.5, "8'-2.50\""),
        (INCHES | {"dimlunit": 5, "dimdec": 3}, 25.4 * 98.125, "98 1/8"),
        (PLAIN | {"dimdec": 0, "dimpost": "<> mm"}, 2501.9, "2502 mm"),
        (PLAIN | {"dimdec": 3, "dimlfac": 0.001, "dimdsep": ord(",")}, 2501.9, "2,502"),
        (PLAIN | {"dimdec": 2, "dimzin": 8}, 2501.9, "2501.9"),
        (PLAIN | {"dimdec": 0, "dimrnd": 5.0}, 2502.6, "2505"),
        (PLAIN | {"dimlunit": 1}, 2502.6, ""),
    ]
    for values, value, text in cases:
        style = Style(values)
        assert formatted(style, "distance", value * style.factor(on_paper=False)) == text
    assert formatted(Style(PLAIN), "diameter", 12.0) == "Ø12.0"
    assert formatted(Style(PLAIN), "radius", 12.0) == "R12.0"
    assert formatted(Style({"dimadec": 1, "dimaunit": 0}), "angle", 12.25) in {"12.2°", "12.3°"}
    assert formatted(Style(PLAIN), "distance", math.inf) == formatted(Style(PLAIN), "distance", math.nan) == ""


def test_a_negative_factor_counts_on_paper_only() -> None:
    style = Style({"dimlfac": -2.0})
    assert (style.factor(on_paper=True), style.factor(on_paper=False)) == (2.0, 1.0)


def test_the_style_speaks_where_the_file_has_no_block(tmp_path: Path) -> None:
    drawn = drawing(tmp_path, lambda m: m.add_linear_dim((0, 9), (0, 0), (2501.9, 0), dimstyle="PLAN"), **INCHES)
    assert drawn.text == "8'-2 1/2\""
    assert drawn.factor == pytest.approx(1 / 25.4)


def test_what_one_dimension_changes_of_its_style(tmp_path: Path) -> None:
    document, model = new()
    dimension = model.add_linear_dim((0, 9), (0, 0), (2500, 0), dimstyle=styled(document, **PLAIN)).dimension
    dimension.set_acad_dstyle({"dimlfac": 0.001, "dimdec": 3})
    (drawn,) = read_again(tmp_path, document).drawn
    assert drawn.text == "2.500"
    assert drawn.factor == pytest.approx(0.001)


def test_a_stale_text_in_the_block_is_what_a_reader_sees(tmp_path: Path) -> None:
    """The line was moved and the block not drawn afresh: text and measure differ, and both are told."""
    document, model = new()
    override = model.add_linear_dim((0, 9), (0, 0), (2500, 0), dimstyle=styled(document, **PLAIN))
    override.render()
    override.dimension.dxf.defpoint3 = (2600, 0)
    (drawn,) = read_again(tmp_path, document).drawn
    assert (drawn.text, drawn.measured, drawn.typed) == ("2500.0", 2600.0, False)


def test_a_dimension_in_a_scaled_turned_block(tmp_path: Path) -> None:
    document, model = new()
    name = styled(document, **PLAIN)
    block = document.blocks.new("B")
    block.add_linear_dim((0, 9), (0, 0), (100, 0), dimstyle=name).render()
    model.add_blockref("B", (1000, 0), dxfattribs={"xscale": 2, "yscale": 2, "rotation": 90})
    (drawn,) = read_again(tmp_path, document).drawn
    assert near(drawn.start, (1000, 0))
    assert near(drawn.end, (1000, 200))
    assert drawn.along == pytest.approx(90)
    assert drawn.measured == pytest.approx(200)
    assert drawn.text == "100.0"
    assert drawn.measured * drawn.factor == pytest.approx(100)


def test_a_dimension_seen_from_below(tmp_path: Path) -> None:
    """Where lengths begin is given in space; the direction and where the text stands in the dimension's plane."""
    document, model = new()
    dimension = model.add_linear_dim(
        (0, 9), (0, 0), (60, 80), angle=30, dimstyle=styled(document, **PLAIN)
    ).dimension
    dimension.dxf.extrusion = (0, 0, -1)
    dimension.dxf.text_midpoint = (-30, 12)
    (drawn,) = read_again(tmp_path, document).drawn
    assert drawn.along == pytest.approx(150)
    assert drawn.measured == pytest.approx(abs(-60 * math.cos(math.pi / 6) + 80 * 0.5))
    assert drawn.middle == (30, 12)


def test_the_lines_of_a_dimension_are_no_shapes_and_its_text_no_words(tmp_path: Path) -> None:
    document, model = new()
    model.add_linear_dim((0, 9), (0, 0), (100, 0), dimstyle=styled(document, **PLAIN)).render()
    linework = read_again(tmp_path, document)
    assert (linework.shapes, linework.words) == ((), ())
    assert linework.drawn[0].middle is not None


def test_a_dimension_without_a_style_or_with_impossible_numbers(tmp_path: Path) -> None:
    document, model = new()
    first = model.add_linear_dim((0, 9), (0, 0), (100, 0), dimstyle=styled(document, **PLAIN)).dimension
    first.dxf.dimstyle = "GONE"
    document.dimstyles.get("PLAN").dxf.dimlfac = 0
    model.add_linear_dim((0, 9), (0, 0), (100, 0), dimstyle="PLAN")
    model.add_linear_dim((0, 9), (0, 0), (1e300, 0), dimstyle="PLAN")
    linework = read_again(tmp_path, document)
    assert [d.measured for d in linework.drawn] == [100, 100]
    assert [d.factor for d in linework.drawn] == [1, 1]
    assert [(p.what, p.count) for p in linework.passed] == [("things with impossible places", 1)]
