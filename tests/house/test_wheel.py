"""What is handed on: the wheel holds everything that the program reads, and works without the checkout."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LEFT_OUT = {"__pycache__", ".DS_Store"}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Iterator[zipfile.ZipFile]:
    """Give the wheel, built without a network from the locked build backend."""
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT, check=True, capture_output=True,
    )  # fmt: skip
    (built,) = folder.glob("layoutdesk-*.whl")
    with zipfile.ZipFile(built) as opened:
        yield opened


def shipped(folder: str) -> set[str]:
    """Return the files below a folder of the checkout that must be in the wheel."""
    return {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and not LEFT_OUT & set(path.parts)
    }


def test_every_module_and_every_resource_is_in_the_wheel(wheel: zipfile.ZipFile) -> None:
    names = set(wheel.namelist())
    data = {f"layoutdesk/_data/{name}" for folder in ("resources", "samples", "shared") for name in shipped(folder)}
    assert len(data) > 4
    assert (shipped("layoutdesk") | data) - names == set()


def test_nothing_of_the_tests_is_in_the_wheel(wheel: zipfile.ZipFile) -> None:
    tops = {name.split("/")[0] for name in wheel.namelist()}
    assert {top for top in tops if not top.startswith("layoutdesk")} == set()


def test_the_unpacked_wheel_works_away_from_the_checkout(wheel: zipfile.ZipFile, tmp_path: Path) -> None:
    """The command runs on the wheel's own files, on a sample that it carries, in a folder that knows nothing."""
    site = tmp_path / "site"
    wheel.extractall(site)
    sample = site / "layoutdesk" / "_data" / "samples" / "orchard-row-carport.layout.json"
    environment = {**os.environ, "PYTHONPATH": str(site)}

    def run(*words: str) -> str:
        done = subprocess.run(
            [sys.executable, *words],
            cwd=tmp_path,
            env=environment,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, "")
        return done.stdout

    where = run("-c", "import layoutdesk.places as p; print(p.SAMPLES, p.RESOURCES, p.PUBLISHED)").split()
    assert [Path(w).parent for w in where] == [site / "layoutdesk" / "_data"] * 3
    assert len(json.loads(run("-m", "layoutdesk", "figures", str(sample)))["piers"]) == 9
    run("-m", "layoutdesk", "sheets", str(sample), "-o", "sheets.pdf")
    run("-m", "layoutdesk", "drawing", str(sample), "-o", "plan.dxf")
    run("-m", "layoutdesk", "picture", str(sample), "-o", "plan.png")
    assert all((tmp_path / name).stat().st_size > 2000 for name in ("sheets.pdf", "plan.dxf", "plan.png"))
