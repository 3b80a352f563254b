"""What is remembered survives a start, and a spoilt memory does no harm."""

from __future__ import annotations

from pathlib import Path

import pytest

from layoutdesk.desk.settings import MOST_RECENT, Settings


def test_what_is_set_is_there_at_the_next_start(tmp_path: Path) -> None:
    first = Settings(tmp_path / "config")
    first.dress = "dark"
    first.text_scale = 1.2
    first.geometry = b"\x01\x00window"
    again = Settings(tmp_path / "config")
    assert (again.dress, again.text_scale, again.geometry) == ("dark", 1.2, b"\x01\x00window")


def test_nothing_is_remembered_at_first(tmp_path: Path) -> None:
    fresh = Settings(tmp_path / "config")
    assert (fresh.dress, fresh.text_scale, fresh.geometry, fresh.recent) == ("system", 1.0, None, ())
    assert fresh.folder == Path.home()


@pytest.mark.parametrize(
    "spoilt",
    [
        "",
        "[]",
        "{",
        '{"dress": 3, "text": "big", "recent": "x", "window": "zz", "folder": 7}',
        '{"text": 90.0, "recent": [1, null]}',
        '{"text": NaN}',
    ],
)
def test_a_spoilt_file_counts_as_none(tmp_path: Path, spoilt: str) -> None:
    (tmp_path / "settings.json").write_text(spoilt, encoding="utf-8")
    read = Settings(tmp_path)
    assert (read.dress, read.text_scale, read.geometry, read.recent) == ("system", 1.0, None, ())


def test_recent_files_are_few_and_each_once(tmp_path: Path) -> None:
    kept = Settings(tmp_path / "config")
    files = [tmp_path / f"{k}.layout.json" for k in range(MOST_RECENT + 3)]
    for file in [*files, files[-2]]:
        file.write_text("{}", encoding="utf-8")
        kept.opened(file)
    assert kept.recent[:2] == (files[-2], files[-1])
    assert len(kept.recent) == MOST_RECENT == len(set(kept.recent))
    assert kept.folder == tmp_path


def test_a_folder_that_cannot_be_written_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / "config").write_text("in the way", encoding="utf-8")
    kept = Settings(tmp_path / "config")
    kept.dress = "light"
    assert kept.dress == "light"
