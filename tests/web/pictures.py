"""Pictures of pages: taken in a settled state, compared with the reviewed ones that are kept."""

from __future__ import annotations

import base64
import io
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from .conftest import BUILD

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

KEPT = Path(__file__).with_name("golden")
WIDTHS = {1440: 900, 820: 1180, 390: 844}
THEMES = ("light", "dark")
AT = f"/builds/{BUILD}"
PAGES = {
    "shop": ("/", ".builds"),
    "vehicle": (AT, ".state-list button"),
    "fit": (f"{AT}/fit", ".fit-views svg"),
    "row": (f"{AT}/fit?row=grille-left", ".fit-views svg"),
    "switching": (f"{AT}/switching", ".decides"),
    "power": (f"{AT}/power", "main table"),
    "light": (f"{AT}/light", "main svg"),
    "body": (f"{AT}/body", "main svg"),
    "papers": (f"{AT}/papers", ".paper"),
    "text": (f"{AT}/text", "#editor .cm-line"),
}
"""Every page: where it is, and what stands on it once it is there."""

COLOURS = 96
COARSE = 4
"""Pictures are compared in squares of so many pixels: the edge of a letter may fall otherwise on another machine."""
MOST_LEVELS = 20
"""So many of 255 levels a square may differ in any colour without counting as changed."""
MOST_SHARE = 0.01
"""So large a share of the squares may have changed: a figure may read otherwise, a layout may not."""

COMPARE = """async ([one, other, coarse, levels]) => {
  const read = async (data) => {
    const bitmap = await createImageBitmap(await (await fetch(`data:image/png;base64,${data}`)).blob());
    const canvas = new OffscreenCanvas(Math.ceil(bitmap.width / coarse), Math.ceil(bitmap.height / coarse));
    const context = canvas.getContext('2d');
    context.imageSmoothingQuality = 'high';
    context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    return { width: bitmap.width, height: bitmap.height, data: context.getImageData(0, 0, canvas.width, canvas.height).data };
  };
  const [a, b] = [await read(one), await read(other)];
  if (a.width !== b.width || a.height !== b.height) return 1;
  let changed = 0;
  for (let i = 0; i < a.data.length; i += 4) {
    if ([0, 1, 2].some((k) => Math.abs(a.data[i + k] - b.data[i + k]) > levels)) changed += 1;
  }
  return changed / (a.data.length / 4);
}"""


@dataclass(frozen=True, slots=True)
class Picture:
    """One page at one width in one theme."""

    page: str
    width: int
    theme: str

    @property
    def name(self) -> str:
        return f"{self.page}-{self.width}-{self.theme}"

    @property
    def kept(self) -> Path:
        return KEPT / f"{self.name}.png"


def all_pictures() -> list[Picture]:
    return [Picture(page, width, theme) for page in PAGES for width in WIDTHS for theme in THEMES]


def take(browser: Browser, address: str, picture: Picture) -> bytes:
    """The picture as the page is now: nothing works any more, nothing moves, scrolled to the top."""
    path, ready = PAGES[picture.page]
    context = browser.new_context(
        viewport={"width": picture.width, "height": WIDTHS[picture.width]}, color_scheme=picture.theme, reduced_motion="reduce"  # type: ignore[arg-type]
    )  # fmt: skip
    page = context.new_page()
    page.goto(address + path)
    page.locator(ready).first.wait_for(timeout=60_000)
    page.wait_for_function("() => !/working…|Loading…/.test(document.body.innerText)", timeout=60_000)
    page.evaluate("() => document.fonts.ready.then(() => scrollTo(0, 0))")
    page.wait_for_timeout(150)
    taken = page.screenshot(animations="disabled", caret="hide")
    context.close()
    return taken


def small(taken: bytes) -> bytes:
    """The picture in a palette, for keeping: far smaller, and closer than the measure looks."""
    from PIL import Image

    out = io.BytesIO()
    Image.open(io.BytesIO(taken)).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(
        out, "PNG", optimize=True
    )
    return out.getvalue()


def changed_share(page: Page, one: bytes, other: bytes) -> float:
    """Share of the squares of two pictures that differ; 1 where their sizes do."""
    return float(
        page.evaluate(COMPARE, [base64.b64encode(one).decode(), base64.b64encode(other).decode(), COARSE, MOST_LEVELS])
    )
