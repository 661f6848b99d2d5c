"""From a key on a slider to the redrawn picture, in a running notebook in a real browser (Debian's chromium)."""

from __future__ import annotations

import shutil
import statistics
import tempfile
from pathlib import Path

from tests.lab import run_all, running_lab

MOVES = 25
GOAL_MS = 100.0
CASES = (("03-coincidence.ipynb", "set point on the service"), ("04-service.ipynb", "lateral_length_ft"))
"""Notebook, and words of the label of the slider that is moved."""
PRESS = """(words) => new Promise(done => {
  const label = [...document.querySelectorAll('.widget-slider .widget-label')].find(x => x.textContent.includes(words));
  const handle = label.parentElement.querySelector('.noUi-handle');
  const box = label.closest('.widget-vbox');
  const told = () => (box.querySelector('p[role=status]') || {}).textContent;
  const was = told();
  const seen = new MutationObserver(async () => {
    if (!told() || told() === was) return;
    seen.disconnect();
    const changed = performance.now() - began;
    for (const image of box.querySelectorAll('img')) await image.decode();
    requestAnimationFrame(() => requestAnimationFrame(() => done([changed, performance.now() - began])));
  });
  seen.observe(box, {subtree: true, childList: true, characterData: true, attributes: true});
  handle.focus();
  const began = performance.now();
  handle.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowRight', code: 'ArrowRight', bubbles: true}));
  setTimeout(() => done(null), 5000);
})"""


def main() -> None:
    """Print the median and the slow end of some moves, from the key to the changed page and to the painted one."""
    chromium = shutil.which("chromium")
    if chromium is None:
        print("slider in a browser: not measured, chromium is missing")
        return
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder, running_lab(Path(folder)) as url, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        for book, words in CASES:
            page = browser.new_page(viewport={"width": 1280, "height": 1800})
            run_all(page, url, book)
            got = []
            for _ in range(MOVES):
                got.append(page.evaluate(PRESS, words))
                page.wait_for_timeout(80)
            kept = [g for g in got if g][3:]
            if not kept:
                raise SystemExit(f"{book}: no move of the slider reached the page")
            changed, painted = (sorted(g[i] for g in kept) for i in (0, 1))
            slow = painted[int(0.95 * (len(painted) - 1))]
            middle = statistics.median(painted)
            print(
                f"{book}, {words}: changed {statistics.median(changed):.0f} ms, painted {middle:.0f} ms (95 % within "
                f"{slow:.0f} ms), {len(kept)} moves; {middle / GOAL_MS:.2f} of the goal of {GOAL_MS:g} ms"
            )
            page.close()
        browser.close()


if __name__ == "__main__":
    main()
