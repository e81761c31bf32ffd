"""Frame time of the stand-alone page with 200 channels flashing, in headless Chromium.

    python benchmarks/page_speed.py [CHANNELS]

A build is generated with enough lamps, its page opened from disk, everything set to flash at true speed. The time of a
frame counts from the page's own call to the first task that Chromium does after it: script, style, layout and paint.
Prints, with all five views at a phone's and a desk's width: median and 95th percentile of the frame time, of the script
alone, and of the time from frame to frame (60 a second are 16.7), in milliseconds.
"""

from __future__ import annotations

import importlib.util
import shutil
import statistics
import sys
import tempfile
from pathlib import Path
from typing import Any

CHANNELS = 200
FRAMES = 300
SPEEDS = (1, 10)
"""True speed, and ten times it: then nearly every frame changes lamps."""
SCREENS = (("phone", 390, 844, 2), ("desk", 1440, 900, 1))
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
MEASURE = """
async ([frames, speed]) => {
  const page = rigbookPage;
  const flashing = page.outcome.lit.flat().filter(([, t]) => t[0] > 1).length;
  const script = [], whole = [], apart = [];
  const paint = page.paint.bind(page);
  const after = new MessageChannel();
  let began = 0, before = null, done;
  const ended = new Promise((resolve) => { done = resolve; });
  after.port1.onmessage = () => {
    whole.push(performance.now() - began);
    if (whole.length >= frames) done();
  };
  page.paint = () => {
    const now = performance.now();
    if (before !== null) apart.push(now - before);
    before = began = now;
    paint();
    script.push(performance.now() - now);
    after.port2.postMessage(0);
  };
  page.accepted = true;
  page.speed = speed;
  page.run();
  await ended;
  page.stop();
  page.speed = 1;
  return { flashing, whole, script, apart };
}
"""


def page_of(folder: Path, channels: int) -> Path:
    """The page of a generated build of so many lamps."""
    from rigbook.assess.assessment import assess
    from rigbook.assess.results_json import to_json
    from rigbook.documents.loader import load_build
    from rigbook.papers.chapter import Desk
    from rigbook.papers.page import stand_alone_page

    spec = importlib.util.spec_from_file_location("generated_build", Path(__file__).with_name("generated_build.py"))
    assert spec is not None and spec.loader is not None
    generated = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(generated)
    build = generated.write_shop(folder, channels)
    assessment = assess(load_build(build.parents[1], build.relative_to(build.parents[1])))
    assert assessment.errors == ()
    target = folder / "page.html"
    target.write_bytes(stand_alone_page(Desk(assessment, to_json(assessment))))
    return target


def measure(channels: int = CHANNELS, frames: int = FRAMES) -> list[dict[str, Any]]:
    """A row a screen: channels that flash, frame and script times in ms."""
    from playwright.sync_api import sync_playwright

    rows = []
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        path = page_of(Path(folder), channels)
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        for name, width, height, scale in SCREENS:
            context = browser.new_context(viewport={"width": width, "height": height}, device_scale_factor=scale)
            page = context.new_page()
            page.goto(path.as_uri())
            page.locator("[data-state=all-on]").click()
            if name == "phone":  # what a phone shows at first is one view; all five are the harder case
                page.locator("[data-view=all]").click()
            for speed in SPEEDS:
                found = page.evaluate(MEASURE, [frames, speed])
                rows.append(
                    {
                        "screen": name,
                        "speed": speed,
                        "flashing": found["flashing"],
                        **_figures("frame", found["whole"]),
                        **_figures("script", found["script"]),
                        **_figures("apart", found["apart"]),
                    }
                )
            context.close()
        browser.close()
    return rows


def _figures(name: str, times: list[float]) -> dict[str, float]:
    ordered = sorted(times[5:])
    return {f"{name}_median_ms": statistics.median(ordered), f"{name}_95th_ms": ordered[int(0.95 * len(ordered))]}


def main() -> None:
    """Measure and print."""
    channels = int(sys.argv[1]) if len(sys.argv) > 1 else CHANNELS
    for row in measure(channels):
        print(
            f"{row['screen']}, {row['speed']} x speed: {row['flashing']} channels flashing; frame {row['frame_median_ms']:.1f} ms median, {row['frame_95th_ms']:.1f} ms 95th; "
            f"script {row['script_median_ms']:.1f} ms median, {row['script_95th_ms']:.1f} ms 95th; {row['apart_median_ms']:.1f} ms from frame to frame"
        )


if __name__ == "__main__":
    main()
