"""Outputs that cannot be written, and command lines that cannot be carried out: one sentence, nothing harmed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from layoutdesk.places import SAMPLES
from tests.endtoend.conftest import Run

PLAN = SAMPLES / "orchard-row-carport.layout.json"
IS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


def assert_one_sentence(done: subprocess.CompletedProcess[str], *words: str) -> None:
    """Hold that a command was refused in one line with these words in it."""
    assert (done.returncode, done.stdout) == (2, ""), done.stderr
    assert done.stderr.count("\n") == 1
    assert done.stderr.startswith("layoutdesk: ")
    assert [word for word in words if word not in done.stderr] == []


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Return a plan of one's own."""
    return Path(shutil.copy(PLAN, tmp_path / "carport.layout.json"))


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["sheets"], "FILE, -o"),
        (["sheets", "carport.layout.json"], "-o"),
        (["sheets", "carport.layout.json", "-o", "x.pdf", "--paper", "napkin"], "--paper"),
        (["sheets", "carport.layout.json", "-o", "x.txt"], "must end in .pdf"),
        (["sheets", "carport.layout.json", "-o", "x"], "must end in .pdf"),
        (["drawing", "carport.layout.json", "-o", "x.pdf"], "must end in .dxf"),
        (["picture", "carport.layout.json", "-o", "x.jpg"], "must end in .png"),
        (["picture", "carport.layout.json", "-o", "x.png", "--size", "big"], "1600x1000"),
        (["picture", "carport.layout.json", "-o", "x.png", "--size", "99999x99999"], "8000x8000"),
        (["figures", "carport.layout.json", "-o", "x.json"], "-o"),
        (["sheet", "carport.layout.json"], "sheets, drawing, points, holes, figures, picture"),
        (["--unheard-of"], "--unheard-of"),
    ],
)
def test_a_command_line_that_makes_no_sense_is_answered_in_one_sentence(
    words: list[str], told: str, plan: Path, layoutdesk: Run
) -> None:
    assert_one_sentence(layoutdesk(*words), told)
    assert list(plan.parent.iterdir()) == [plan]


def test_the_output_may_not_be_the_plan(plan: Path, layoutdesk: Run) -> None:
    """Not under another name either."""
    before = plan.read_bytes()
    for alias in ("alias.pdf", "alias.dxf", "alias.png", "alias.csv"):
        (plan.parent / alias).hardlink_to(plan)
    for command, ending in (("sheets", "pdf"), ("drawing", "dxf"), ("picture", "png"), ("points", "csv")):
        assert_one_sentence(layoutdesk(command, plan, "-o", f"alias.{ending}"), "the plan itself")
    assert plan.read_bytes() == before


def test_an_output_folder_that_is_not_there(plan: Path, layoutdesk: Run) -> None:
    assert_one_sentence(layoutdesk("points", plan, "-o", "nowhere/x.csv"), "x.csv", "folder is not there")
    assert list(plan.parent.iterdir()) == [plan]


def test_an_output_that_is_a_folder(plan: Path, layoutdesk: Run) -> None:
    (plan.parent / "x.csv").mkdir()
    assert_one_sentence(layoutdesk("points", plan, "-o", "x.csv"), "x.csv", "is a folder")
    assert list((plan.parent / "x.csv").iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such file")
def test_a_device_is_not_replaced_by_a_file(plan: Path, layoutdesk: Run) -> None:
    """Writing to the null device must not put a file in its place, which the system's owner could do."""
    (plan.parent / "x.csv").symlink_to(os.devnull)
    assert_one_sentence(layoutdesk("points", plan, "-o", "x.csv"), "no ordinary file")
    assert Path(os.devnull).is_char_device()


@pytest.mark.skipif(IS_ROOT or sys.platform == "win32", reason="root may write everywhere")
def test_an_output_where_nobody_may_write(plan: Path, layoutdesk: Run) -> None:
    folder = plan.parent / "locked"
    folder.mkdir(mode=0o555)
    assert_one_sentence(layoutdesk("points", plan, "-o", folder / "x.csv"), "x.csv", "permission")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a disk that is always full")
def test_a_full_disk_behind_standard_output(plan: Path, layoutdesk: Run) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "layoutdesk", "figures", plan],
            stdout=full, stderr=subprocess.PIPE, encoding="utf-8", check=False,
        )  # fmt: skip
    assert (done.returncode, done.stderr) == (2, "layoutdesk: standard output: No space left on device\n")


@pytest.mark.parametrize("words", [["figures", "carport.layout.json"], ["--help"]])
def test_a_reader_who_leaves_early_gets_no_complaint(words: list[str], plan: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "layoutdesk", *words],
        cwd=plan.parent, stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8",
    ) as run:  # fmt: skip
        assert run.stdout is not None
        assert run.stderr is not None
        run.stdout.close()
        said = run.stderr.read()
    assert (run.returncode, said) == (0, "")


def test_without_a_display_the_desk_says_so(plan: Path, layoutdesk: Run) -> None:
    if sys.platform.startswith("linux"):
        done = layoutdesk(plan, DISPLAY="", WAYLAND_DISPLAY="", QT_QPA_PLATFORM="")
        assert_one_sentence(done, "no display")


def test_the_desk_is_not_opened_on_nothing(tmp_path: Path, layoutdesk: Run) -> None:
    """A file that is not there, and a folder, are told before any window."""
    (tmp_path / "folder").mkdir()
    assert_one_sentence(layoutdesk("nothing.layout.json", QT_QPA_PLATFORM="offscreen"), "nothing.layout.json")
    assert_one_sentence(layoutdesk("folder", QT_QPA_PLATFORM="offscreen"), "folder")
