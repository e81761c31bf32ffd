"""The other commands as programs: what they print, write and refuse."""

from __future__ import annotations

import csv
import io
import json
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from .runner import BUILD, SMALL, change, program, rigbook


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(SMALL, tmp_path / "shop")
    return tmp_path / "shop"


# --- new -------------------------------------------------------------------------------------------------


def test_new_makes_a_shop_whose_builds_can_be_checked(tmp_path: Path) -> None:
    done = rigbook("new", tmp_path / "demo")
    assert done.returncode == 0
    assert "rigbook check" in done.stdout
    checked = program("check", tmp_path / "demo/builds/duty-officer-utility.yaml", "--quiet")
    assert checked.returncode in (0, 1)
    again = rigbook("new", tmp_path / "demo")
    assert again.returncode == 2
    assert "is there already" in again.stderr
    assert "Traceback" not in again.stderr


# --- explain -----------------------------------------------------------------------------------------------


def test_explain_prints_a_hand_calculation(shop: Path) -> None:
    done = rigbook("explain", shop / BUILD, "body.axles[front].margin_kg")
    assert done.returncode == 0
    assert "margin = rating - R" in done.stdout
    data = json.loads(rigbook("explain", shop / BUILD, "body.axles[front].margin_kg", "--json").stdout)
    assert data["working"]["figure_id"] == "body.axles[front].margin_kg"
    assert data["finding"] is None
    check = json.loads(rigbook("check", shop / BUILD, "--json").stdout)
    assert data["working"]["result"] == pytest.approx(check["body"]["axles"][0]["margin_kg"], rel=1e-9)


def test_explain_names_the_nearest(shop: Path) -> None:
    done = rigbook("explain", shop / BUILD, "body.mas_kg")
    assert done.returncode == 2
    assert "body.mass_kg" in done.stderr
    assert len(done.stderr.splitlines()) == 1


# --- settle --------------------------------------------------------------------------------------------------


def test_settle_writes_once_keeps_the_rest_and_the_digest(shop: Path) -> None:
    path = change(shop, BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2}  # a remark")
    before, old = path.read_text(), json.loads(rigbook("check", path, "--json").stdout)
    done = rigbook("settle", path)
    assert done.returncode == 0, done.stderr
    after = path.read_text()
    assert after.startswith(before), "only a section at the end is new"
    assert "feeds.heat-feed.fuse: 10 A" in after
    new = json.loads(rigbook("check", path, "--json").stdout)
    assert new["build"]["digest"] == old["build"]["digest"]
    assert new["power"] == old["power"]
    assert "nothing changed" in rigbook("settle", path).stdout
    assert path.read_text() == after


def test_settle_writes_nothing_where_the_input_is_wrong(shop: Path) -> None:
    path = change(shop, BUILD, "fuse: 10 A", "fuse: ten")
    before = path.read_bytes()
    done = rigbook("settle", path)
    assert done.returncode == 2
    assert f"{BUILD}:" in done.stderr
    assert path.read_bytes() == before


# --- try --------------------------------------------------------------------------------------------------------


def test_try_reads_from_a_pipe(shop: Path) -> None:
    done = program("try", shop / BUILD, stdin="press warn\n\n# a remark\nset gear drive\nundo\nquit\npress nothing\n")
    assert done.returncode == 0, done.stderr
    assert "switches: warn yes" in done.stdout
    assert "average: " in done.stdout
    assert done.stdout.count("> press warn") == 1
    assert "nothing" not in done.stdout, "quit ends it"


def test_try_says_which_line_it_cannot_carry_out_and_goes_on(shop: Path) -> None:
    done = rigbook("try", shop / BUILD, stdin="prss warn\npress warn\n")
    assert done.returncode == 2
    assert done.stderr.startswith("prss warn: ")
    assert "switches: warn yes" in done.stdout


def test_try_starts_from_a_saved_state(shop: Path) -> None:
    done = rigbook("try", shop / BUILD, "--state", "on-scene", stdin="")
    assert done.returncode == 0
    assert "switches: warn yes" in done.stdout
    wrong = rigbook("try", shop / BUILD, "--state", "on-scen", stdin="")
    assert wrong.returncode == 2
    assert "there are: on-scene" in wrong.stderr


# --- compare ------------------------------------------------------------------------------------------------------


def test_compare_shows_documents_figures_and_findings(shop: Path) -> None:
    other = shop / "builds/other.yaml"
    other.write_text((shop / BUILD).read_text().replace("fuse: 10 A, wire: 10 AWG", "fuse: 15 A, wire: 18 AWG"))
    done = rigbook("compare", shop / BUILD, other)
    assert done.returncode == 0, done.stderr
    assert "feeds[heat-feed].fuse: 10 -> 15" in done.stdout
    assert "feeds[heat-feed].wire: 10 AWG -> 18 AWG" in done.stdout
    assert "power.circuits[heat-feed].drop_v" in done.stdout
    assert "fuse-above-practice@heat-feed" in done.stdout
    same = rigbook("compare", shop / BUILD, shop / BUILD)
    assert "nothing differs" in same.stdout
    data = json.loads(rigbook("compare", shop / BUILD, other, "--json").stdout)
    assert [f["id"] for f in data["findings"]["new"]] == ["fuse-above-practice@heat-feed"]


# --- sheet ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["equipment", "circuits", "conductors", "feeds", "weights", "states", "functions"]
)
def test_sheets_as_csv(shop: Path, tmp_path: Path, name: str) -> None:
    target = tmp_path / f"{name}.csv"
    done = rigbook("sheet", shop / BUILD, name, "-o", target)
    assert done.returncode == 0, done.stderr
    rows = list(csv.reader(io.StringIO(target.read_text(encoding="utf-8-sig"))))
    assert len(rows) >= 2
    assert len({len(r) for r in rows}) == 1
    before = target.read_bytes()
    rigbook("sheet", shop / BUILD, name, "-o", target, "--quiet")
    assert target.read_bytes() == before


@pytest.mark.parametrize(
    ("output", "says"),
    [("x.pdf", "a .csv or .xlsx file"), ("missing/x.csv", "there is no folder"), (".csv", "a .csv or .xlsx file")],
)
def test_outputs_that_cannot_be_are_said_in_one_line(shop: Path, tmp_path: Path, output: str, says: str) -> None:
    done = rigbook("sheet", shop / BUILD, "weights", "-o", tmp_path / output)
    assert done.returncode == 2
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert {p.name for p in tmp_path.iterdir()} == {"shop"}


def test_a_wrong_build_writes_no_output(shop: Path, tmp_path: Path) -> None:
    change(shop, BUILD, "fuse: 10 A", "fuse: ten")
    for arguments in (("sheet", "weights", "x.csv"), ("draw", "lamp-map", "x.svg")):
        done = rigbook(arguments[0], shop / BUILD, arguments[1], "-o", tmp_path / arguments[2])
        assert done.returncode == 2
        assert f"{BUILD}:" in done.stderr
    assert {p.name for p in tmp_path.iterdir()} == {"shop"}


# --- draw -----------------------------------------------------------------------------------------------------------


def test_draw_writes_well_formed_svg(shop: Path, tmp_path: Path) -> None:
    import xml.etree.ElementTree as ElementTree

    target = tmp_path / "map.svg"
    done = rigbook("draw", shop / BUILD, "lamp-map", "-o", target)
    assert done.returncode == 0, done.stderr
    root = ElementTree.fromstring(target.read_bytes())
    assert root.tag.endswith("svg")
    text = "".join(root.itertext())
    assert "nose-lamp" in text
    assert "tail-lamp" in text
    wrong = rigbook("draw", shop / BUILD, "lamp-map", "-o", tmp_path / "map.png")
    assert wrong.returncode == 2


# --- serve ------------------------------------------------------------------------------------------------------------


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
