"""Stakes set out wrongly are named, sound jobs left in peace; ``tests/studies/starts_study.py`` counts more."""

from __future__ import annotations

import pytest

from tests.wrong_starts import WRONGS, Wrong, told


@pytest.mark.parametrize("wrong", WRONGS[1:])
def test_stakes_that_were_set_out_wrongly_on_a_grid_of_chance_are_named(wrong: Wrong) -> None:
    found = told(12, 11, wrong)
    assert found.jobs >= 6
    assert found.noticed == found.jobs
    assert found.named + found.either >= found.jobs - 1
    assert found.misnamed <= 1
    assert found.silent == 0


def test_sound_jobs_are_left_in_peace() -> None:
    found = told(40, 12, "sound")
    assert (found.jobs, found.misnamed, found.silent) == (40, 0, 0)


def test_control_that_is_a_little_uncertain_hides_no_row_that_is_shifted() -> None:
    found = told(12, 8, "shifted", harder="control uncertain")
    assert found.named == found.jobs == 12
