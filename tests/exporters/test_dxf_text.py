"""Text in a DXF file: what a person typed, and nothing that a receiver would take for a code."""

from __future__ import annotations

from dataclasses import replace

import pytest
from ezdxf.entities import Insert, Text
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.exporters.dxf_text import LONGEST, block_name, multi_line, single_line
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from tests.exporters.dxf_scene import NAMES, of_kind, written

ODD_TITLES = {
    "two\nlines\r\nand a tab\there": "two lines  and a tab here",
    "100 %%c": "100 % %c",
    "%%%%": "% % % %",
    "\\U+0041 \\P \\~": "/U+0041 \\P \\~",
    "caret ^J": "caret ^ J",
    "turned \u202etxet\u202c": "turned txet",
    "half \ud83d of a pair": "half  of a pair",
    "Ærø ½ Ø 400 漢字 🔨": "Ærø ½ Ø 400 漢字 🔨",
    "bell \x07 and nul \x00": "bell  and nul",
    "line\u2028break": "line break",
}


@pytest.mark.parametrize(("typed", "kept"), ODD_TITLES.items())
def test_single_line(typed: str, kept: str) -> None:
    assert single_line(typed) == kept


def test_formatting_signs_are_escaped_in_running_text() -> None:
    assert multi_line(r"a \P {b} ^c") == r"a \\P \{b\} ^ c"


@given(st.text(max_size=300))
def test_any_text_is_one_line_that_can_be_written(text: str) -> None:
    line = single_line(text)
    assert len(line) <= LONGEST
    assert line.splitlines() in ([], [line])
    assert "%%" not in line
    line.encode("utf-8")


@given(st.lists(st.text(max_size=80), max_size=8))
def test_block_names_are_plain_and_never_the_same(names: list[str]) -> None:
    """Receivers compare them without regard to case."""
    taken: set[str] = set()
    given_out = [block_name(name, taken) for name in names]
    assert len({name.lower() for name in given_out}) == len(names)
    assert all(name.isascii() and name == name.upper() and name[0] != "*" for name in given_out)


@pytest.mark.parametrize("title", [*ODD_TITLES, "Porch " * 200, "", "   "])
def test_an_odd_title_leaves_a_sound_file(title: str) -> None:
    file = written(replace(read_plan(SAMPLES / f"{NAMES[0]}.layout.json"), title=title, issue=title, date=title))
    auditor = file.document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    paper = file.document.paperspace("Pier layout plan")
    assert all(text.dxf.text for text in of_kind(paper, Text))


def test_odd_ids_and_marks_come_through() -> None:
    """Detail ids that differ in case only, or in signs that no block name may have."""
    plan = read_plan(SAMPLES / f"{NAMES[0]}.layout.json")
    first, second = plan.details
    details = (replace(first, id="d*1|"), replace(second, id="D*1|"))
    ids = {first.id: "d*1|", second.id: "D*1|"}
    piers = tuple(replace(p, detail=ids[p.detail or ""], mark=f"{p.id} %%u {{x}}") for p in plan.piers)
    file = written(replace(plan, details=details, piers=piers))
    assert not file.document.audit().fixes
    inserts = [i for i in of_kind(file.document.modelspace(), Insert) if i.has_attrib("DETAIL")]
    assert [i.get_attrib_text("DETAIL") for i in inserts] == [p.detail for p in piers]
    assert [i.get_attrib_text("MARK") for i in inserts] == [f"{p.id} % %u {{x}}" for p in plan.piers]
    assert len({i.dxf.name for i in inserts}) == 2
