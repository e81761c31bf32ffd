"""Every how-to page, carried out on a copy of the example shop: blocks, commands and what they are said to find."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from rigbook.assess.assessment import Assessment, assess
from rigbook.cli.main import rigbook
from rigbook.documents.loader import load_build
from tests.docs.fenced import ROOT, Block, blocks, merged
from tests.scenario.shop import SHOP

PAGES = sorted(path for path in (ROOT / "docs" / "how-to").glob("*.md") if path.name != "README.md")


def carry_out(block: Block, shop: Path) -> None:
    """Work a block into its file, or run its commands."""
    if block.language == "yaml":
        file = shop / block.about
        file.write_text(merged(file.read_text(encoding="utf-8"), block.text), encoding="utf-8")
        return
    for line in block.text.splitlines():
        command, *arguments = shlex.split(line)
        if command == "cp":
            shutil.copy(shop / arguments[0], shop / arguments[1])
            continue
        assert command == "rigbook"
        result = CliRunner().invoke(rigbook, arguments)
        assert result.exit_code in (0, 1), (line, result.output)
        assert result.exception is None or isinstance(result.exception, SystemExit), (line, result.exception)
        assert result.output.strip() or "-o" in arguments, line


def judged(page: Path, shop: Path) -> Assessment:
    """The build that a page works on, worked out as it stands now."""
    name = next(b.about for b in blocks(page) if b.language == "yaml" and b.about.startswith("builds/"))
    return assess(load_build(shop, Path(name)))


def test_there_are_thirteen_pages_and_the_list_names_them() -> None:
    assert len(PAGES) == 13
    listed = re.findall(r"\]\(([a-z-]+\.md)\)", (ROOT / "docs" / "how-to" / "README.md").read_text(encoding="utf-8"))
    assert sorted(listed) == [page.name for page in PAGES]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_page_does_what_it_says(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = tmp_path / "shop"
    shutil.copytree(SHOP, shop)
    monkeypatch.chdir(shop)
    told: set[str] = set()
    did = 0
    for block in blocks(page):
        if block.language == "text":
            found = {f"{finding.severity} {finding.id}" for finding in judged(page, shop).findings}
            missing = [line for line in block.text.splitlines() if line not in found]
            assert not missing, (missing, sorted(found))
            told |= set(block.text.splitlines())
            continue
        did += 1
        carry_out(block, shop)
        assessment = judged(page, shop)
        assert not assessment.errors, (f"{page.name}:{block.line}", assessment.errors)
    assert did >= 2
    fails = {f"fail {finding.id}" for finding in judged(page, shop).findings if finding.severity == "fail"}
    assert fails <= told, fails - told
