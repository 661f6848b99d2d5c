"""The workbook in a real JupyterLab, driven by Debian's chromium. Set HPELEC_SHOTS to a folder to keep screenshots.

What these tests see and no other can: the page shows answers, a slider moves them, bad input is told on the page, and
nothing outside this machine is asked for.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.lab import ROOT, run_all, running_lab

pytestmark = pytest.mark.browser
CHROMIUM = shutil.which("chromium")
if CHROMIUM is None:
    pytest.skip("NO BROWSER TEST RUNS: chromium is missing; on Debian `apt install chromium`", allow_module_level=True)
sync_api = pytest.importorskip("playwright.sync_api")

BOOKS = sorted(p.name for p in (ROOT / "workbook").glob("*.ipynb"))


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running_lab(tmp_path_factory.mktemp("lab")) as url:
        yield url


@pytest.fixture
def page() -> Iterator[Any]:
    with sync_api.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        opened = browser.new_page(viewport={"width": 1280, "height": 1800})
        opened.outside = []
        opened.on(
            "request",
            lambda r: (
                opened.outside.append(r.url)
                if not r.url.startswith(("http://127.0.0.1", "ws://127.0.0.1", "data:", "blob:"))
                else None
            ),
        )
        yield opened
        browser.close()


@pytest.fixture
def opened(page: Any, server: str) -> Callable[[str], Any]:
    """Open a notebook, run all its cells, wait until the kernel is idle again."""

    def run(book: str) -> Any:
        run_all(page, server, book)
        return page

    return run


def shot(page: Any, name: str) -> None:
    """Keep a picture of the whole notebook, where a folder for pictures is named."""
    if folder := os.environ.get("HPELEC_SHOTS"):
        Path(folder).mkdir(parents=True, exist_ok=True)
        tall = page.evaluate("document.querySelector('.jp-WindowedPanel-outer').scrollHeight")
        page.set_viewport_size({"width": 1280, "height": min(tall, 15000) + 150})
        page.evaluate("document.querySelector('.jp-WindowedPanel-outer').scrollTop = 0")
        page.wait_for_timeout(1500)
        page.screenshot(path=str(Path(folder) / f"{name}.png"))


@pytest.mark.parametrize("book", BOOKS)
def test_notebook_runs_in_lab_without_error_or_outside_request(opened: Callable[[str], Any], book: str) -> None:
    page = opened(book)
    shot(page, book.removesuffix(".ipynb"))
    assert page.locator(".jp-RenderedText[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
    assert page.locator("text=/Traceback/").count() == 0
    assert page.locator("text=/Error displaying widget/").count() == 0
    assert page.outside == []


def _what_if(book: str) -> str:
    return next(b for b in BOOKS if b.endswith(f"-{book}.ipynb"))


def test_slider_moves_the_answer(opened: Callable[[str], Any]) -> None:
    page = opened(_what_if("service"))
    assert page.locator("p[role=status]").filter(has_text="385 tried as 385; recomputed: nothing").count() == 1
    handle = page.locator(".noUi-handle").first
    handle.focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.wait_for_selector("p[role=status] >> text=385 tried as 400; recomputed: loads, service.", timeout=20_000)
    shot(page, "moved")


def test_bad_input_in_the_table_is_told_on_the_page(opened: Callable[[str], Any]) -> None:
    page = opened(_what_if("loads"))
    cell = page.locator(".widget-gridbox input[type=text]").nth(2)  # the quantity of the first appliance
    kept = cell.input_value()
    cell.fill("many")
    cell.press("Enter")
    page.wait_for_selector("p[role=alert]", timeout=20_000)
    shot(page, "refused")
    assert "appliances.csv" in page.locator("p[role=alert]").first.inner_text()
    assert cell.input_value() == kept
