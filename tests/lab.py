"""JupyterLab on a free loopback port for the browser tests and the browser benchmark, and a notebook run in it."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
TOKEN = "test-only"
IDLE = "#jp-main-statusbar >> text=/\\| Idle/"


@contextmanager
def running_lab(base: Path) -> Iterator[str]:
    """JupyterLab on a copy of the workbook in `base`, with no setting of this account; gives its address."""
    shutil.copytree(ROOT / "workbook", base / "workbook")
    shutil.copytree(ROOT / "data" / "houses", base / "data" / "houses")
    _set(base, "apputils-extension/notification", '{"fetchNews": "false", "checkForUpdates": false}')
    _set(base, "notebook-extension/tracker", '{"windowingMode": "none"}')  # draw every cell, also out of sight
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    env = dict(
        os.environ,
        JUPYTER_PREFER_ENV_PATH="1",
        JUPYTERLAB_SETTINGS_DIR=str(base / "settings"),
        JUPYTERLAB_WORKSPACES_DIR=str(base / "workspaces"),
        PYTHONPATH=str(ROOT),
        **{f"JUPYTER_{k}_DIR": str(base / k) for k in ("CONFIG", "DATA", "RUNTIME")},
    )
    options = ["--no-browser", "--allow-root", "--ip=127.0.0.1", f"--port={port}", f"--IdentityProvider.token={TOKEN}"]
    with (base / "server.log").open("w") as log:
        command = [sys.executable, "-m", "jupyterlab", *options]
        running = subprocess.Popen(command, cwd=base / "workbook", env=env, stdout=log, stderr=log)
        try:
            url = f"http://127.0.0.1:{port}"
            _wait(url, running, base / "server.log")
            yield url
        finally:
            running.terminate()
            running.wait(20)


def _set(base: Path, name: str, text: str) -> None:
    file = base / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
    file.parent.mkdir(parents=True)
    file.write_text(text)


def _wait(url: str, running: subprocess.Popen[bytes], log: Path) -> None:
    end = time.monotonic() + 90
    while time.monotonic() < end:
        assert running.poll() is None, log.read_text()
        try:
            urllib.request.urlopen(f"{url}/api", timeout=2)
            return
        except urllib.error.HTTPError:
            return
        except OSError:
            time.sleep(0.2)
    raise AssertionError("JupyterLab did not start:\n" + log.read_text())


def run_all(page: Any, url: str, book: str) -> None:
    """Open a notebook, run all its cells, wait until the kernel is idle again."""
    page.goto(f"{url}/lab/tree/{book}?token={TOKEN}&reset")
    page.wait_for_selector(IDLE, timeout=90_000)
    page.wait_for_timeout(500)
    page.click(".lm-MenuBar-itemLabel:text-is('Run')")
    page.click(".lm-Menu-itemLabel:has-text('Restart Kernel and Run All Cells')")
    page.click(".jp-Dialog-button.jp-mod-accept")
    page.wait_for_function("[...document.querySelectorAll('.jp-InputPrompt')].some(p => p.textContent === '[*]:')")
    cells = json.loads((ROOT / "workbook" / book).read_text("utf-8"))["cells"]
    last = f"[{sum(c['cell_type'] == 'code' for c in cells)}]:"
    page.wait_for_function(
        "last => [...document.querySelectorAll('.jp-InputPrompt')].some(p => p.textContent === last)",
        arg=last,
        timeout=90_000,
    )
    page.wait_for_selector(IDLE, timeout=90_000)
    page.wait_for_timeout(800)
