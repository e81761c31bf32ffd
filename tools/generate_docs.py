"""Write the generated pages of docs/: document reference, commands, outside checks. `--check` only says what is stale."""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
OUTSIDE = "docs/outside-checks.md"


def collected_outside_checks() -> list[str]:
    """Ids of every test marked `outside`, as pytest collects them."""
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "tests", "--collect-only", "-q", "-m", "outside", "-p", "no:cacheprovider"],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    ids = [line.strip() for line in run.stdout.splitlines() if "::" in line]
    if run.returncode != 0 or not ids:
        raise SystemExit(f"collecting the outside checks failed:\n{run.stdout[-2000:]}{run.stderr[-2000:]}")
    return ids


def outside_page() -> str:
    """The page that lists every check against something we did not write."""
    by_file: dict[str, list[str]] = defaultdict(list)
    for test_id in collected_outside_checks():
        file, _, name = test_id.partition("::")
        by_file[file].append(name)
    total = sum(map(len, by_file.values()))
    lines = [
        "# Checks against the outside",
        "",
        "Generated from the tests (`python3 run.py docs`). Each line is one check against a published figure, a general",
        "reference tool or brute force, named as the test names it.",
        "",
        f"{total} checks in {len(by_file)} files.",
    ]
    for file in sorted(by_file):
        lines += ["", f"## {file}", ""]
        for name in by_file[file]:
            function, _, case = name.partition("[")
            words = function.split("::")[-1].removeprefix("test_").replace("_", " ")
            lines.append(f"- {words}" + (f": {case.rstrip(']')}" if case else ""))
    return "\n".join(lines) + "\n"


def command_pages() -> dict[str, str]:
    """The command reference, from the program itself."""
    import click

    from rigbook.cli.main import rigbook

    context = click.Context(rigbook, info_name="rigbook", terminal_width=100)
    lines = [
        "# Commands",
        "",
        "Generated from the program (`python3 run.py docs`).",
        "",
        "```text",
        rigbook.get_help(context),
        "```",
    ]
    for name in rigbook.list_commands(context):
        command = rigbook.get_command(context, name)
        assert command is not None
        inner = click.Context(command, info_name=name, parent=context, terminal_width=100)
        lines += ["", f"## rigbook {name}", "", "```text", command.get_help(inner), "```"]
    return {"docs/reference/commands.md": re.sub(r"[ \t]+\n", "\n", "\n".join(lines)) + "\n"}


def all_pages() -> dict[str, str]:
    """Every generated page by its path."""
    from rigbook.documents.reference import pages

    made = {f"docs/reference/{name}": text for name, text in pages().items()}
    return made | command_pages() | {OUTSIDE: outside_page()}


def main() -> None:
    """Write or check."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 when a page is stale")
    check = parser.parse_args().check
    stale = []
    for name, text in all_pages().items():
        path = ROOT / name
        if path.is_file() and path.read_text(encoding="utf-8") == text:
            continue
        stale.append(name)
        if not check:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
    for name in stale:
        print(f"{'stale' if check else 'written'}: {name}")
    if check and stale:
        raise SystemExit(1)


if __name__ == "__main__":
    main()
