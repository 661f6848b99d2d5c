"""Callbacks that never fail in silence.

JupyterLab shows an error raised in a widget callback nowhere on the page, so the old answer would stay beside the new
input. Every callback of ours is wrapped by `shown`.
"""

from __future__ import annotations

import functools
import html
from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from hpelec.core.errors import HpelecError


def shown(box: widgets.HTML) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Decorate a callback: an error is written into `box`; a fault of ours is written there and raised again."""

    def wrap(callback: Callable[..., None]) -> Callable[..., None]:
        @functools.wraps(callback)
        def run(*args: Any, **named: Any) -> None:
            try:
                callback(*args, **named)
            except (HpelecError, ValueError) as error:
                box.value = alert(f"Not computed: {error}")
            except Exception as error:
                box.value = alert(f"A fault of the program, not of your input: {type(error).__name__}: {error}")
                raise

        return run

    return wrap


def alert(text: str) -> str:
    """A text that asks for attention, as HTML."""
    return f'<p role="alert" style="white-space:pre-wrap"><b>{html.escape(text)}</b></p>'


def status(text: str) -> str:
    """A text that tells what is the case now, as HTML."""
    return f'<p role="status" style="white-space:pre-wrap">{html.escape(text)}</p>'
