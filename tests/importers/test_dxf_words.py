"""Text as a reader sees it: codes, fractions, lines, and where and how wide it stands."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from ezdxf.enums import TextEntityAlignment

from layoutdesk.importers.dxf_codes import plain_line, plain_lines
from tests.importers.dxf_makings import new, read_again, read_bytes, text_of


@pytest.mark.parametrize(
    ("coded", "seen"),
    [
        ('%%c12" %%uPIER%%u', 'Ø12" PIER'),
        ("90%%d %%p1/8 50%%%", "90° ±1/8 50%"),
        ("%%065%%066", "AB"),
        (r"\U+2300 12", "⌀ 12"),
        ("A^IB^ C", "A B^C"),
        ("%%zx", "%%zx"),
        ("  8'-2\"  ", "8'-2\""),
        ("%%000x", "x"),
    ],
)
def test_codes_of_a_single_line(coded: str, seen: str) -> None:
    assert plain_line(coded) == seen


@pytest.mark.parametrize(
    ("coded", "seen"),
    [
        (r"8'-2 \S1/2;\"", ["8'-2 1/2\\\""]),
        (r"8'-2\S1/2;" + '"', ["8'-2 1/2\""]),
        (r"8'-2{\H0.7x;\S1#2;}" + '"', ["8'-2 1/2\""]),
        (r"\A1;8'-{\H1.0;\S1^2;}" + '"', ["8'-1/2\""]),
        (r"\S+0.1^-0.2;", ["+0.1 -0.2"]),
        (r"12\S+0.1^-0.2;", ["12 +0.1 -0.2"]),
        (r"m\S2^ ;", ["m2"]),
        (r"{\fArial|b0|i0|c0|p34;FOOTING} \LPLAN\l\PSCALE 1:50", ["FOOTING PLAN", "SCALE 1:50"]),
        (r"\pxqc;A\~B \\ \{C\}", [r"A B \ {C}"]),
        (r"\C1;\c255;\T1.1;\Q10;\W0.8;\H2.5x;X", ["X"]),
        (r"%%c300\Xabove", ["Ø300", "above"]),
        (r"A\P\PB", ["A", "", "B"]),
        (r"\U+00D8 12 ^J next", ["Ø 12", "next"]),
        (r"\S1/2", ["1/2"]),
        ("{{{unclosed", ["unclosed"]),
        ("\\", ["\\"]),
        ("", []),
    ],
)
def test_codes_of_a_paragraph(coded: str, seen: list[str]) -> None:
    assert plain_lines(coded) == seen


def test_a_long_run_of_codes_takes_no_long_time() -> None:
    for bad in (
        "\\S" * 20_000,
        "{" * 50_000,
        "\\H" * 20_000 + "x",
        "%%" * 50_000,
        "\\S" + "\\" * 40_001,
        "\\S" + "a/" * 20_000,
    ):
        assert isinstance(plain_lines(bad), list)
        assert isinstance(plain_line(bad), str)


def test_where_single_lines_stand(tmp_path: Path) -> None:
    document, model = new()
    model.add_circle((0, 0), 1)
    for way in (TextEntityAlignment.LEFT, TextEntityAlignment.MIDDLE_CENTER, TextEntityAlignment.TOP_RIGHT):
        model.add_text("P1", height=10, rotation=90).set_placement((100, 50), align=way)
    model.add_text("LONG", height=10).set_placement((0, 0), (60, 80), align=TextEntityAlignment.FIT)
    left, middle, top, fitted = read_again(tmp_path, document).words
    assert left.at == (100.0, 50.0)
    assert left.turn == pytest.approx(90)
    assert left.height == 10
    assert middle.middle == pytest.approx((100, 50))
    # Turned by 90 its right end points up and its top to the left.
    assert top.at == pytest.approx((110, 50 - top.width))
    assert (fitted.at, fitted.width) == ((0, 0), 100)
    assert fitted.turn == pytest.approx(math.degrees(math.atan2(80, 60)))


def test_lines_of_a_paragraph_stand_under_each_other(tmp_path: Path) -> None:
    document, model = new()
    model.add_circle((0, 0), 1)
    model.add_mtext("ONE\\PTHREE", dxfattribs={"insert": (10, 100), "char_height": 6, "attachment_point": 1})
    model.add_mtext(
        "MID", dxfattribs={"insert": (10, 100), "char_height": 6, "attachment_point": 5, "rotation": 30}
    )
    first, second, centred = read_again(tmp_path, document).words
    assert first.at == pytest.approx((10, 94))
    assert second.at == pytest.approx((10, 84))
    assert centred.middle == pytest.approx((10, 100))
    assert centred.turn == pytest.approx(30)


def test_text_in_a_block_is_enlarged_turned_and_mirrored(tmp_path: Path) -> None:
    document, model = new()
    model.add_circle((0, 0), 1)
    block = document.blocks.new("B")
    block.add_text("AB", height=1).set_placement((2, 0))
    block.add_mtext("AB", dxfattribs={"insert": (2, 3), "char_height": 1, "attachment_point": 7})
    model.add_blockref("B", (100, 0), dxfattribs={"xscale": 3, "yscale": 3, "rotation": 90})
    model.add_blockref("B", (0, 0), dxfattribs={"xscale": -3, "yscale": 3})
    turned, paragraph, mirrored, _ = read_again(tmp_path, document).words
    assert turned.at == pytest.approx((100, 6))
    assert (turned.height, turned.turn) == pytest.approx((3, 90))
    assert paragraph.at == pytest.approx((91, 6))
    # The box of the mirrored one runs from -6 to the left; its foot begins at the left again.
    assert mirrored.at == pytest.approx((-6 - mirrored.width, 0))
    assert abs(mirrored.turn) < 1e-9
    assert mirrored.middle == pytest.approx((-6 - mirrored.width / 2, 1.5))


def test_text_at_the_end_of_a_leader_is_read(tmp_path: Path) -> None:
    from ezdxf.math import Vec2
    from ezdxf.render import mleader

    document, model = new()
    builder = model.add_multileader_mtext("Standard")
    builder.set_content("PIER \\S1/2; DEEP", char_height=5)
    builder.add_leader_line(mleader.ConnectionSide.left, [Vec2(-20, -20)])
    builder.build(insert=Vec2(30, 40))
    model.add_circle((0, 0), 1)
    (words,) = read_again(tmp_path, document).words
    assert words.text == "PIER 1/2 DEEP"
    assert words.height == pytest.approx(5)
    assert math.dist(words.middle, (30, 40)) < 60


def test_text_in_an_older_code_and_in_utf_8_that_says_otherwise(tmp_path: Path) -> None:
    document, model = new("R2000")
    model.add_circle((0, 0), 1)
    model.add_text("Ø300 für Stütze")
    data = text_of(document)
    assert "Ø300" in data.decode("cp1252")
    assert read_bytes(tmp_path, data).words[0].text == "Ø300 für Stütze"
    assert read_bytes(tmp_path, data.decode("cp1252").encode("utf-8")).words[0].text == "Ø300 für Stütze"
