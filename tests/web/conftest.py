"""One browser for the whole session, one server that all tests of pages share, and servers of their own for the rest."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

BUILD = "duty-officer-utility"
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


class Served:
    """A server over a shop folder that can be stopped and started again at the same address."""

    def __init__(self, shop: Path) -> None:
        self.shop = shop
        with socket.socket() as trial:
            trial.bind(("127.0.0.1", 0))
            self.port = trial.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"
        self.start()

    def start(self) -> None:
        import uvicorn

        from rigbook.web.app import create_app

        self.app = create_app(self.shop)
        config = uvicorn.Config(
            self.app, host="127.0.0.1", port=self.port, log_level="warning", timeout_graceful_shutdown=1
        )
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        deadline = time.monotonic() + 20
        while not self.server.started:
            assert time.monotonic() < deadline, "the server did not start"
            time.sleep(0.02)

    def stop(self) -> None:
        self.app.state.reading.bench.worker.close()
        self.server.should_exit = True
        self.thread.join(timeout=15)


def example_shop(folder: Path, *builds: str) -> Path:
    """The example shop's files in a new folder, with the named builds alone."""
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
        shutil.copytree(source, folder)
    for build in (folder / "builds").glob("*.yaml"):
        if build.stem not in builds:
            build.unlink()
    return folder


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, opened once."""
    from playwright.sync_api import sync_playwright

    where = shutil.which("chromium")
    if where is None:
        pytest.skip("Chromium is not installed; run.py test brings it")
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=where, args=list(FLAGS))
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop folder with the small build of the example shop, and a build that cannot be read."""
    folder = example_shop(tmp_path_factory.mktemp("web") / "shop", BUILD)
    (folder / "builds" / "broken.yaml").write_text(
        "rigbook: 1\nbuild: {id: broken, titel: Nothing}\n", encoding="utf-8"
    )
    (folder.parent / "secret.yaml").write_text("not for anybody\n", encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def address(shop: Path) -> Iterator[str]:
    """A server on loopback over the shared shop, which no test changes, and its address."""
    running = Served(shop)
    yield running.address
    running.stop()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A server of its own over the example shop's catalogue and vehicles, and no build."""
    running = Served(example_shop(tmp_path / "shop"))
    yield running
    running.stop()
