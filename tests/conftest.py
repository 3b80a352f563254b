"""What every test relies on: no screen, no settings of the person who runs them, and repeatable properties."""

from __future__ import annotations

import gc
import importlib
import os
import pkgutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

import layoutdesk

os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the program itself runs
_HOME = Path(tempfile.mkdtemp(prefix="layoutdesk-tests-"))
for _name in ("XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "APPDATA", "LOCALAPPDATA"):
    os.environ[_name] = str(_HOME / _name.lower())

# The first call of a property imports numpy and more: a deadline would measure that.
settings.register_profile("layoutdesk", deadline=None, derandomize=True, max_examples=100)
settings.register_profile(
    "thorough", deadline=None, max_examples=2000, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "layoutdesk"))


@pytest.fixture(scope="session", autouse=True)
def _long_lived() -> None:
    """Load all of the program first, and leave it out of every search for garbage: it is most of what there is.

    Properties also try the numbers that stand in the modules that are loaded: so they try the same ones in whatever
    order and process the tests run.
    """
    for module in pkgutil.walk_packages(layoutdesk.__path__, "layoutdesk."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def checkout() -> Path:
    """Return the folder of the project."""
    return Path(__file__).resolve().parent.parent
