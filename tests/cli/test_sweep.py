from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from rigbook.cli.main import rigbook
from tests.scenario.shop import SHOP, SMALL


def test_text_and_json(tmp_path: Path) -> None:
    words = ["sweep", str(SHOP / SMALL), "--samples", "2", "--workers", "1", "--keep", str(tmp_path / "rows.jsonl")]
    plain = CliRunner().invoke(rigbook, words, catch_exceptions=False)
    assert plain.exit_code == 0 and "driven by" in plain.output and "Endurance of" in plain.output
    data = CliRunner().invoke(rigbook, [*words, "--json"], catch_exceptions=False)
    assert json.loads(data.output)["samples"] == 2


def test_a_path_that_leads_nowhere_is_status_2() -> None:
    from rigbook.cli.main import run

    try:
        run(["sweep", "nowhere.yaml"])
    except SystemExit as end:
        assert end.code == 2
