"""`rigbook serve`: the workbench until it is stopped."""

from __future__ import annotations

import socket
import subprocess
import sys
from pathlib import Path

from .runner import rigbook


def test_serve_refuses_what_is_no_shop_and_a_port_that_is_taken(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert "no shop.yaml" in rigbook("serve", tmp_path / "empty").stderr
    assert "is not there" in rigbook("serve", tmp_path / "nowhere").stderr
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        done = rigbook("serve", shop, "--port", taken.getsockname()[1])
    assert done.returncode == 2
    assert "name another --port" in done.stderr
    assert "Traceback" not in done.stderr


def test_serve_answers_on_loopback_until_it_is_stopped(shop: Path) -> None:
    import signal
    import time
    import urllib.error
    import urllib.request

    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen(
        [sys.executable, "-m", "rigbook.cli.main", "serve", str(shop), "--port", str(port)], stderr=subprocess.PIPE,
        text=True,
    )  # fmt: skip
    try:
        page = ""
        for _ in range(100):
            try:
                page = urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=20).read().decode()
                break
            except urllib.error.URLError:
                time.sleep(0.2)
        assert "Small test build" in page
    finally:
        server.send_signal(signal.SIGINT)
        _, errors = server.communicate(timeout=20)
    assert f"http://127.0.0.1:{port}/" in errors
    assert "Traceback" not in errors
