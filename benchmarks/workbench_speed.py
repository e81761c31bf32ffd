"""How long a person waits at the workbench: an edit to its first and all its figures, in headless Chromium; a search.

    python benchmarks/workbench_speed.py [EDITS]

Prints medians in milliseconds. The complete build of the example shop; 5,000 generated parts for the search.
"""

from __future__ import annotations

import shutil
import socket
import statistics
import sys
import tempfile
import threading
import time
from importlib import resources
from pathlib import Path

BUILD = "flood-support-van"
PARTS = 5000
WATCH = """async ([seen, stage]) => {
  const bench = (await import('/assets/islands/bench.js')).benchOf();
  const started = performance.now();
  await bench.edit([{do: 'set', path: 'install[grille-left].note', value: seen}], 'measure');
  const reached = (wanted) => new Promise((done) => {
    const stop = bench.current.subscribe((now) => {
      if (now && (wanted === 'first' || now.stage === 'whole')) { setTimeout(() => stop(), 0); done(performance.now() - started); }
    });
  });
  const first = await reached('first');
  return [first, await reached('whole')];
}"""


def generated_parts(folder: Path, count: int) -> None:
    """Write a catalogue of lamps in many sizes and colours, invented."""
    colours = ("blue", "red", "amber", "white", "green")
    lines = ["rigbook: 1", "parts:"]
    for n in range(count):
        colour = colours[n % 5]
        lines.append(
            f"  - {{id: made-{n}, kind: lamp, title: 'Made lamp {n}, {colour}', mass: 0.2 kg, size: [30 mm, 120 mm, 30 mm], "
            f"at: 12.8 V, colours: {{{colour}: {{current: {1 + n % 7 / 10:.1f} A}}}}, load: constant-power, cost: {10 + n % 90} USD}}"
        )
    (folder / "parts" / "made.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def search_times(folder: Path) -> list[float]:
    """Milliseconds of each search once the index is there."""
    from rigbook.desk.catalogue import Catalogue, search
    from rigbook.desk.shopfolder import ShopFolder

    generated_parts(folder, PARTS)
    catalogue = Catalogue(ShopFolder(folder))
    assert len(catalogue.rows()[0]) >= PARTS
    times = []
    for words, kind, colour in (
        ("", "", ""),
        ("made 49", "", ""),
        ("lamp blue", "lamp", "blue"),
        ("nothing has this", "", ""),
        ("surface", "", "amber"),
    ):
        started = time.perf_counter()
        search(catalogue.rows()[0], words=words, kind=kind, colour=colour)
        times.append(1000 * (time.perf_counter() - started))
    return times


def edit_times(folder: Path, edits: int) -> list[tuple[float, float]]:
    """Milliseconds from an edit to first figures and to all of them, as the page has them."""
    import uvicorn
    from playwright.sync_api import sync_playwright

    from rigbook.web.app import create_app

    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        port = trial.getsockname()[1]
    server = uvicorn.Server(
        uvicorn.Config(create_app(folder), host="127.0.0.1", port=port, log_level="error", timeout_graceful_shutdown=1)
    )
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    with sync_playwright() as play:
        chromium = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"]
        )
        page = chromium.new_page()
        page.goto(f"http://127.0.0.1:{port}/builds/{BUILD}/fit")
        page.locator(".fit-views svg").first.wait_for(timeout=60_000)
        times = []
        for number in range(edits):
            times.append(tuple(page.evaluate(WATCH, [f"measured {number}", ""])))
            page.wait_for_timeout(600)
        chromium.close()
    server.should_exit = True
    thread.join(timeout=10)
    return times


def main(edits: int) -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made) / "shop"
        with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
            shutil.copytree(source, folder)
        times = edit_times(folder, edits)
        first, whole = [t[0] for t in times], [t[1] for t in times]
        print(
            f"edit to first figures: median {statistics.median(first):.0f} ms, worst {max(first):.0f} ms of {len(first)}"
        )
        print(f"edit to all figures: median {statistics.median(whole):.0f} ms, worst {max(whole):.0f} ms")
        searches = search_times(folder)
        print(f"search over {PARTS} parts: median {statistics.median(searches):.1f} ms, worst {max(searches):.1f} ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
