"""`check` as a program: exit statuses, where things are printed, several builds, errors."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from .runner import BUILD, change, program, rigbook


def test_nothing_found_is_0(shop: Path) -> None:
    done = rigbook("check", shop / BUILD)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert "verdict: pass" in done.stdout
    assert "power.whole.nameplate_a" in done.stdout
    assert "Check local law" in done.stdout
    assert "\x1b" not in done.stdout


def test_fail_is_1_and_fail_on_moves_the_threshold(shop: Path) -> None:
    assert rigbook("check", shop / BUILD, "--fail-on", "caution").returncode == 0
    assert rigbook("check", shop / BUILD, "--fail-on", "note").returncode == 1
    change(shop, "vehicles/van.yaml", "left: 1100 kg", "left: 1000 kg")
    assert rigbook("check", shop / BUILD).returncode == 0
    assert rigbook("check", shop / BUILD, "--fail-on", "caution").returncode == 1
    change(shop, "vehicles/van.yaml", "gawr_rear: 2100 kg", "gawr_rear: 1050 kg")
    done = rigbook("check", shop / BUILD)
    assert done.returncode == 1
    assert "fail     axle-rating@rear" in done.stdout


def test_wrong_input_is_2_with_file_line_column_on_stderr(shop: Path) -> None:
    change(shop, BUILD, "fuse: 10 A", "fuse: 10 V")
    change(shop, BUILD, "part: heater,", "part: haeter,")
    done = rigbook("check", f"shop/{BUILD}", cwd=shop.parent)
    assert done.returncode == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith(f"shop/{BUILD}:")
    line = done.stderr.splitlines()[0]
    assert int(line.split(":")[1]) > 1
    assert int(line.split(":")[2]) > 1


def test_errors_as_json_go_to_stdout(shop: Path) -> None:
    change(shop, BUILD, "feed: heat-feed", "feed: heat-fed")
    done = rigbook("check", shop / BUILD, "--json")
    assert (done.returncode, done.stderr) == (2, "")
    (error,) = json.loads(done.stdout)["errors"]
    assert set(error) == {"file", "line", "column", "says", "found", "expected", "nearest"}
    assert error["file"] == BUILD
    assert error["nearest"] == "heat-feed"


def test_a_wrong_row_of_a_rule_pack_is_an_error_at_its_place(shop: Path) -> None:
    (shop / "rules").mkdir()
    pack = Path(__file__).parents[2] / "src/rigbook/data/example_shop/rules/larkmoor-local.yaml"
    text = pack.read_text().replace("measure: mode_zone_always", "measure: mode_zone_alway", 1)
    (shop / "rules" / "larkmoor-local.yaml").write_text(text)
    change(shop, "shop.yaml", "rules: [wiring, altered-vehicle]", "rules: [larkmoor-local]")
    done = rigbook("check", shop / BUILD, "--json")
    assert done.returncode == 2
    (error,) = json.loads(done.stdout)["errors"]
    line = text.splitlines()[error["line"] - 1]
    assert line[error["column"] - 1 :].startswith("mode_zone_alway")
    assert error["nearest"] == "mode_zone_always"


def test_a_pack_that_ships_before_its_engine_is_a_note_and_an_unknown_one_an_error(shop: Path) -> None:
    change(shop, "shop.yaml", "rules: [wiring, altered-vehicle]", "rules: [wiring, siren-sound]")
    done = rigbook("check", shop / BUILD)
    assert done.returncode == 0
    assert "note     rule-pack-empty@siren-sound" in done.stdout
    change(shop, "shop.yaml", "rules: [wiring, siren-sound]", "rules: [wiring, optical-warnign]")
    done = rigbook("check", shop / BUILD)
    assert done.returncode == 2
    assert "shop.yaml:6:" in done.stderr


@pytest.mark.parametrize("path", ["builds/nothing.yaml", "builds", "parts/all.yaml", "no/such/folder.yaml"])
def test_a_path_that_is_no_build_is_2_in_one_line(shop: Path, path: str) -> None:
    done = rigbook("check", shop / path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("rigbook: ")
    assert len(done.stderr.splitlines()) == 1
    as_json = rigbook("check", shop / path, "--json")
    assert as_json.returncode == 2
    assert len(json.loads(as_json.stdout)["errors"]) == 1


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x01", b"\xff\xfe", b"- a\n- b\n", b"rigbook: 1\n", b"a: &a [*a]\n", b"{" * 5000, "rigbook: 1\nbuild: é".encode("latin-1")],
)  # fmt: skip
def test_no_input_gives_a_traceback(shop: Path, content: bytes) -> None:
    (shop / BUILD).write_bytes(content)
    done = rigbook("check", shop / BUILD)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "fault of our own" not in done.stderr
    assert f"{BUILD}:" in done.stderr


def test_several_builds_give_a_list_in_order_and_the_highest_status(shop: Path) -> None:
    good = (shop / BUILD).read_text()
    (shop / "builds/other.yaml").write_text(good.replace("id: small", "id: other"))
    (shop / "builds/wrong.yaml").write_text(good.replace("fuse: 10 A", "fuse: ten"))
    done = rigbook("check", shop / "builds/other.yaml", shop / "builds/wrong.yaml", shop / BUILD, "--json")
    assert (done.returncode, done.stderr) == (2, "")
    first, second, third = json.loads(done.stdout)
    assert first["build"]["id"] == "other"
    assert second["errors"][0]["file"] == "builds/wrong.yaml"
    assert third["build"]["id"] == "small"
    alone = rigbook("check", shop / BUILD, "--json")
    assert json.loads(alone.stdout) == third, "a process of its own gives the same"
    text = rigbook("check", shop / "builds/other.yaml", shop / "builds/wrong.yaml", "--quiet")
    assert text.returncode == 2
    assert text.stdout == f"{shop}/builds/other.yaml: pass\n"


def test_equal_input_gives_equal_bytes_across_processes_and_hash_seeds(shop: Path) -> None:
    outputs = {program("check", shop / BUILD, "--json", seed=seed).stdout for seed in ("1", "4711")}
    outputs.add(rigbook("check", shop / BUILD, "--json").stdout)
    assert len(outputs) == 1


def test_the_statuses_are_what_a_shell_sees(shop: Path) -> None:
    assert program("check", shop / BUILD, "--quiet").returncode == 0
    assert program("check", shop / BUILD, "--fail-on", "note", "--quiet").returncode == 1
    wrong = program("check", "builds/small.yml", cwd=shop)
    assert (wrong.returncode, wrong.stdout) == (2, "")
    assert "the nearest there is builds/small.yaml" in wrong.stderr


def test_timing_fills_worked_in(shop: Path) -> None:
    data = json.loads(rigbook("check", shop / BUILD, "--json", "--timing").stdout)
    assert 0 < data["worked_in_s"] < 100
    assert "worked out in" in rigbook("check", shop / BUILD, "--timing").stdout


def test_check_imports_the_heavy_only_when_needed(shop: Path) -> None:
    code = (
        "import sys\nfrom rigbook.cli.main import run\n"
        f"assert run(['check', {str(shop / BUILD)!r}, '--quiet']) == 0\n"
        "print('LOADED', [m for m in ('scipy', 'ortools', 'ezdxf', 'shapely', 'fastapi', 'sqlalchemy', 'typst',"
        " 'rich') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "LOADED []" in done.stdout


def test_a_reader_that_leaves_is_no_error(shop: Path) -> None:
    command = (
        f"{sys.executable} -m rigbook.cli.main check {shop / BUILD} --json | head -c 10; echo; echo ${{PIPESTATUS[0]}}"
    )
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True)
    assert done.stdout.splitlines()[-1] in ("0", "141")
    assert done.stderr == ""
