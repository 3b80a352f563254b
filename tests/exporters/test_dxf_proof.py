"""As-staked points in the DXF file: on their own layer, where they stand, with how far off they are."""

from __future__ import annotations

import math

import pytest
from ezdxf.entities import Insert

from layoutdesk.exporters.dxf import write_dxf
from layoutdesk.exporters.dxf_layers import LAYERS
from layoutdesk.sheets.drawing import plan_drawing
from layoutdesk.units import format_length
from tests.exporters.dxf_scene import of_kind, read_again
from tests.exporters.tag_reader import read_tags
from tests.sheets.proof_scene import proof_of, proved
from tests.sheets.sheet_plans import NAMES, sample

LAYER = LAYERS["as staked"].name


@pytest.mark.parametrize("name", NAMES)
def test_every_stake_that_is_known_is_a_block_where_it_stands(name: str) -> None:
    """Both readers."""
    layout = proved(sample(name))
    data = write_dxf(plan_drawing(layout))
    document = read_again(data)
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    known = [p for p in proof_of(layout).points if not p.held and p.found is not None]
    assert len(known) < sum(not p.held for p in proof_of(layout).points)
    inserts = [e for e in of_kind(document.modelspace(), Insert) if e.dxf.layer == LAYER]
    found = [(i, v) for i, v in read_tags(data).with_attributes() if "OFF_ALONG" in v]
    plan = layout.plan
    for point, insert, (tags, values) in zip(known, inserts, found, strict=True):
        assert point.found is not None
        assert math.dist(insert.dxf.insert.vec2, point.found) < 1e-6
        assert math.dist(tags.place(10), point.found) < 1e-6
        assert values == {
            "MARK": point.label,
            "OFF_ALONG": format_length(-point.along, plan.units, plan.rounding),
            "OFF_AWAY": format_length(-point.away, plan.units, plan.rounding),
        }
    block = document.blocks.get(inserts[0].dxf.name)
    assert {entity.dxf.layer for entity in block if entity.dxftype() == "LINE"} == {LAYER}


@pytest.mark.parametrize("name", NAMES)
def test_the_same_plan_gives_the_same_bytes(name: str) -> None:
    once, again = (write_dxf(plan_drawing(proved(sample(name)))) for _ in range(2))
    assert once == again


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_staked_without_measures(name: str) -> None:
    document = read_again(write_dxf(plan_drawing(proved(sample(name), measured=False))))
    assert not [e for e in of_kind(document.modelspace(), Insert) if e.dxf.layer == LAYER]
    assert LAYER in document.layers
