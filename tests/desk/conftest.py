"""What the tests of the window rely on: our own type, answers instead of dialogs, and nothing left behind."""

from __future__ import annotations

import gc
import importlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt, QThreadPool
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from layoutdesk.desk.asks import FileKind, Recovery, Unsaved
from layoutdesk.desk.desk import Desk
from layoutdesk.desk.dress import Dress
from layoutdesk.desk.settings import Settings
from layoutdesk.desk.theme import load_type
from layoutdesk.desk.window import DeskWindow
from layoutdesk.places import SAMPLES
from tests.desk.arrivals import Read, lay_out, read
from tests.session.carport_drawing import save_carport


@pytest.fixture(scope="session", autouse=True)
def _type_and_style(qapp: QApplication) -> None:
    """Give every test the program's own type and the style that the program runs in."""
    qapp.setStyle("Fusion")
    load_type()


@pytest.fixture(scope="session", autouse=True)
def _solver_loaded() -> None:
    """Load least squares, so that small proofs are worked out at once in whatever order the tests run."""
    importlib.import_module("layoutdesk.engine.proof.judge")


@pytest.fixture(autouse=True)
def _nothing_left(qapp: QApplication) -> Iterator[None]:
    """Hold that no window survives its test: one that does may crash another test much later."""
    yield
    QThreadPool.globalInstance().waitForDone(10_000)
    for _ in range(2):
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        gc.collect()
    left = [w for w in qapp.topLevelWidgets() if w.metaObject().className() != "QComboBoxPrivateContainer"]
    assert [(type(w).__name__, w.accessibleName(), w.property("text")) for w in left] == []


class FakeAsks:
    """Answers in place of a person; every question is noted in ``asked``."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.opens: Path | None = None
        self.lays: Path | None = None
        self.saves: Path | None = None
        self.on_unsaved: Unsaved = "keep editing"
        self.on_recover: Recovery = "later"
        self.on_overwrite = False
        self.types: str | None = None

    def open_file(self, folder: Path) -> Path | None:
        self.asked.append(f"open in {folder.name}")
        return self.opens

    def open_drawing(self, folder: Path) -> Path | None:
        self.asked.append(f"drawing in {folder.name}")
        return self.opens

    def lay_file(self, folder: Path) -> Path | None:
        self.asked.append(f"lay from {folder.name}")
        return self.lays

    def save_file(self, start: Path, kind: FileKind) -> Path | None:
        self.asked.append(f"save {kind} as {start.name}")
        return self.saves

    def unsaved(self, title: str) -> Unsaved:
        self.asked.append(f"unsaved {title}")
        return self.on_unsaved

    def recover(self, title: str, when: str) -> Recovery:
        self.asked.append(f"recover {title} of {when}")
        return self.on_recover

    def overwrite(self, name: str) -> bool:
        self.asked.append(f"overwrite {name}")
        return self.on_overwrite

    def text(self, question: str, start: str) -> str | None:
        self.asked.append(f"{question} {start}")
        return self.types

    def tell(self, title: str, sentence: str) -> None:
        self.asked.append(f"{title}: {sentence}")


@pytest.fixture
def asks() -> FakeAsks:
    """Return a person who answers at once."""
    return FakeAsks()


@pytest.fixture
def dress(qapp: QApplication) -> Iterator[Dress]:
    """Return the light dress, taken off again afterwards."""
    worn = Dress(qapp, "light", 1.0)
    yield worn
    worn.deleteLater()
    qapp.setStyleSheet("")


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Return settings that remember nothing yet."""
    return Settings(tmp_path / "config")


@pytest.fixture
def desk(qtbot: QtBot, dress: Dress, settings: Settings, asks: FakeAsks, tmp_path: Path) -> Iterator[Desk]:
    """Return the whole desk, shown and begun, with nothing on it."""
    window = DeskWindow(dress, settings)
    qtbot.addWidget(window)
    window.setWindowState(Qt.WindowState.WindowNoState)
    window.resize(1366, 740)
    made = Desk(window, dress=dress, asks=asks, settings=settings, recovery=tmp_path / "recovery")
    with qtbot.waitExposed(window):
        window.show()
    made.begin(None)
    yield made
    asks.on_unsaved = "discard"
    window.close()


@pytest.fixture
def porch(tmp_path: Path) -> Path:
    """Return a copy of the first sample, as a person's own file."""
    path = tmp_path / "porch.layout.json"
    path.write_bytes((SAMPLES / "heron-lane-porch.layout.json").read_bytes())
    return path


@pytest.fixture
def porch_desk(desk: Desk, porch: Path) -> Desk:
    """Return the desk with the porch on it."""
    assert desk.files.open(porch)
    return desk


@pytest.fixture
def carport_dxf(tmp_path: Path) -> Path:
    return save_carport(tmp_path / "carport.dxf")


@pytest.fixture(scope="session")
def carport_read(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Read]:
    path = save_carport(tmp_path_factory.mktemp("carport") / "carport.dxf")
    return path, read(path)


@pytest.fixture(scope="session")
def unknown_read(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Read]:
    path = save_carport(tmp_path_factory.mktemp("unknown") / "carport.dxf", unit=0, dimensions=False)
    return path, read(path)


@pytest.fixture
def incoming(desk: Desk, carport_read: tuple[Path, Read]) -> Desk:
    """Return an empty desk on which the carport waits to be taken in."""
    return lay_out(desk, *carport_read)


@pytest.fixture
def unknown(desk: Desk, unknown_read: tuple[Path, Read]) -> Desk:
    """Return a desk with a drawing that says nothing of its unit."""
    return lay_out(desk, *unknown_read)
