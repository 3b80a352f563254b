"""A fault inside keeps the desk up and the plan safe."""

from __future__ import annotations

from pathlib import Path

import pytest

from layoutdesk.app import Mishaps
from layoutdesk.desk.desk import Desk
from layoutdesk.plan import edits


def test_a_fault_is_said_and_a_copy_is_kept(
    porch_desk: Desk, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    porch_desk.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    Mishaps(porch_desk).report(RuntimeError, RuntimeError("nobody thought of this"), None)
    assert porch_desk.slip.isVisible()
    assert "nobody thought of this" in porch_desk.slip.text.text()
    assert len(list((tmp_path / "recovery").glob("*.recovery"))) == 1
    assert "RuntimeError" in capsys.readouterr().err
    assert porch_desk.window.isVisible()
