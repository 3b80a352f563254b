"""Scales, units, paper and layer names against what is published about drawings."""

from __future__ import annotations

import pytest

from layoutdesk.exporters.dxf_layers import LAYERS, WINDOW_LAYER
from layoutdesk.sheets.drawing_sheet import PAPER_MM
from layoutdesk.sheets.scales import FOOT_SCALES, METRIC_SCALES
from tests.exporters.dxf_scene import NAMES, sample
from tests.published.checks import published


def test_metric_scales_are_those_of_the_standard() -> None:
    reductions = published()["scales-metric"]["expected"]["reductions"]
    assert {scale.ratio for scale in METRIC_SCALES} <= set(reductions)
    assert [scale.name for scale in METRIC_SCALES] == [f"1:{scale.ratio:.0f}" for scale in METRIC_SCALES]


def test_architect_s_scales() -> None:
    check = published()["scales-architect"]
    ratios = {scale.name: scale.ratio for scale in FOOT_SCALES}
    for inches, ratio in zip(check["inputs"]["inches_to_the_foot"], check["expected"]["ratio"], strict=True):
        assert ratios[f'{inches}" = 1\'-0"'] == ratio


def test_paper_is_as_large_as_it_says() -> None:
    expected = published()["paper"]["expected"]
    assert PAPER_MM["letter"] == pytest.approx([inches * 25.4 for inches in expected["letter_in"]])
    assert list(PAPER_MM["a4"]) == expected["a4_mm"]


@pytest.mark.parametrize("name", NAMES)
def test_the_drawing_says_that_its_unit_is_the_millimetre(name: str) -> None:
    code = published()["drawing-units"]["expected"]["millimetres"]
    assert sample(name).tags.header["$INSUNITS"] == [str(code)]


def test_layers_are_named_by_the_scheme_of_the_standard() -> None:
    """Discipline, a major group of four letters, minor groups of four, and a status of one."""
    names = published()["layer-names"]["expected"]
    by_role = {role: layer.name for role, layer in LAYERS.items()}
    existing, taken_out = names["existing"], names["taken_out"]
    assert by_role["pier"] == names["foundation"]
    assert by_role["column"] == names["columns"]
    assert by_role["beam line"] == names["beams"]
    assert by_role["control"] == names["control"]
    assert by_role["wall"] == f"{names['wall']}-{existing}"
    assert by_role["slab"] == f"{names['slab']}-{existing}"
    assert by_role["opening"] == f"{names['slab']}-OPNG-{taken_out}"
    assert by_role["house"] == f"{names['wall']}-{names['hatch']}-{existing}"
    assert by_role["dimension"] == f"S-{names['dimensions']}"
    assert by_role["text"] == f"S-{names['text']}"
    assert by_role["title block"] == f"S-{names['title_block']}"
    assert f"S-{names['not_printed']}" == WINDOW_LAYER
    for layer in [*by_role.values(), WINDOW_LAYER]:
        discipline, *groups = layer.split("-")
        assert len(discipline) == 1
        assert all(len(group) == 4 for group in groups if group not in {existing, taken_out})
