"""Every published value names where it is from, and says how far it can be trusted."""

from __future__ import annotations

from typing import Any

import pytest

from tests.published.checks import published


@pytest.mark.parametrize("check", published().values(), ids=lambda check: check["id"])
def test_value_names_its_source(check: dict[str, Any]) -> None:
    assert check["status"] in {"verified", "common practice", "from memory"}
    assert check["source"]
    assert check["expected"]
    assert check["tolerance"] >= 0


@pytest.mark.parametrize("check", published().values(), ids=lambda check: check["id"])
def test_value_without_a_source_says_so(check: dict[str, Any]) -> None:
    if check["status"] == "verified":
        assert "no source" not in check["source"]
        assert check["where"]
