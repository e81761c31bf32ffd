from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

import pytest

BUILD = "duty-officer-utility"


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop folder with the small build of the example shop, and a build that cannot be read."""
    folder = tmp_path_factory.mktemp("web") / "shop"
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
        shutil.copytree(source, folder)
    for build in (folder / "builds").glob("*.yaml"):
        if build.stem != BUILD:
            build.unlink()
    (folder / "builds" / "broken.yaml").write_text(
        "rigbook: 1\nbuild: {id: broken, titel: Nothing}\n", encoding="utf-8"
    )
    (folder.parent / "secret.yaml").write_text("not for anybody\n", encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def address(shop: Path) -> Iterator[str]:
    """A server on loopback, and its address."""
    import uvicorn

    from rigbook.web.app import create_app

    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        port = trial.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(create_app(shop), host="127.0.0.1", port=port, log_level="warning"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    deadline = time.monotonic() + 20
    while not server.started:
        assert time.monotonic() < deadline, "the server did not start"
        time.sleep(0.02)
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(timeout=10)
