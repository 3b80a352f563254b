"""Entities filled in on a form are tag for tag what the library would have written for each."""

from __future__ import annotations

from collections.abc import Hashable

import pytest
from ezdxf.layouts import BlockLayout

from layoutdesk.errors import ExportError
from layoutdesk.exporters.dxf import write_dxf
from layoutdesk.exporters.dxf_forms import Form, Forms, Maker, Numbers, Texts
from tests.exporters.dxf_scene import NAMES, sample
from tests.exporters.tag_reader import Dxf, Record, read_tags

HANDLE_CODES = {5, 105, 330, 331, 340, 350, 360}


def without_handles(dxf: Dxf, section: str) -> list[tuple[str, list[tuple[int, str]]]]:
    """Return the records of a section without what names another record, and without turns of nothing.

    The library leaves out a turn of zero, which a form has a blank for.
    """

    def named(record: Record) -> list[tuple[int, str]]:
        return [
            (code, "*D" if value.startswith("*D") else value)
            for code, value in record.tags
            if code not in HANDLE_CODES and (code, value) != (50, "0.0")
        ]

    return [(record.kind, named(record)) for record in dxf.sections[section]]


@pytest.mark.parametrize("name", NAMES)
def test_filled_forms_are_what_the_library_writes(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def one_by_one(
        _self: Forms, layout: BlockLayout, _kind: Hashable, numbers: Numbers, texts: Texts, make: Maker
    ) -> None:
        make(layout, numbers, texts)

    filled = sample(name)  # the samples are kept: this one is written while forms are still filled in
    monkeypatch.setattr(Forms, "add", one_by_one)
    plain = read_tags(write_dxf(filled.drawing))
    monkeypatch.undo()
    for section in ("TABLES", "BLOCKS", "ENTITIES"):
        assert without_handles(filled.tags, section) == without_handles(plain, section)


@pytest.mark.parametrize("name", NAMES)
def test_no_two_records_have_one_handle_and_every_owner_is_there(name: str) -> None:
    tags = sample(name).tags
    handles = [
        value
        for records in tags.sections.values()
        for r in records
        for code, value in r.tags[:1]
        if code in {5, 105}
    ]
    assert len(set(handles)) == len(handles)
    owners = {r.text(330) for section in ("BLOCKS", "ENTITIES") for r in tags.sections[section]}
    assert owners <= set(handles)
    assert max(int(handle, 16) for handle in handles) < int(tags.header["$HANDSEED"][0], 16)


def test_a_form_has_a_blank_wherever_its_value_stands() -> None:
    form = Form("  0\nTHING\n  5\nAB\n330\nC\n 10\n1.5\n 11\n1.5\n  1\nname\n", [1.5, "name"], "C")
    assert form.handles == 1
    assert form.filled(["9"], "8", [2.0, "x"]) == "  0\nTHING\n  5\n9\n330\n8\n 10\n2.0\n 11\n2.0\n  1\nx\n"


def test_a_form_without_its_value_is_refused() -> None:
    """A release of the library that rounds or leaves out must not go unnoticed."""
    with pytest.raises(ExportError, match="does not write"):
        Form("  0\nTHING\n  5\nAB\n 10\n1.5\n", [1.5, 2.5], "C")
