"""Small helpers to write SVG, and the one way a drawing is put on a page."""

from __future__ import annotations

import base64
import html
import re
from typing import NamedTuple

INK, SOFT, PALE, ACCENT, PAPER = "#22303c", "#64727e", "#dde3e7", "#8f5c0d", "#ffffff"
"""Our palette: blue-grey ink, its two lighter steps, one ochre. Meaning is never carried by colour alone."""

FONT = "system-ui, 'DejaVu Sans', Arial, sans-serif"
CHARACTER_WIDTH = 0.6
"""Width of a character as a share of the font size: on the safe side for the fonts named."""

_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class Drawing(NamedTuple):
    """An SVG text and what it says in words."""

    svg: str
    alt: str

    @property
    def img(self) -> str:
        """The drawing as an <img> element."""
        return picture(self.svg, self.alt)


def escape(text: str) -> str:
    """Text for XML content or an attribute; a character that XML forbids becomes the replacement sign."""
    return html.escape(_NOT_XML.sub("\ufffd", text), quote=True)


def number(value: float) -> str:
    """A coordinate with at most two decimals."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(name: str, content: str = "", /, **attributes: str | float) -> str:
    """One element; `stroke_width=2` becomes `stroke-width="2"`, `class_` becomes `class`. Content is markup."""
    told = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(value) if isinstance(value, str) else number(value)}"'
        for key, value in attributes.items()
    )
    return f"<{name}{told}>{content}</{name}>" if content else f"<{name}{told}/>"


def line(x0: float, y0: float, x1: float, y1: float, **attributes: str | float) -> str:
    """A straight stroke, in ink unless told otherwise."""
    told: dict[str, str | float] = {"stroke": INK, "stroke_width": 1.2, **attributes}
    return element("line", x1=x0, y1=y0, x2=x1, y2=y1, **told)


def path(points: list[tuple[float, float]], **attributes: str | float) -> str:
    """A polyline through the points."""
    return element("polyline", points=" ".join(f"{number(x)},{number(y)}" for x, y in points), **attributes)


def polygon(points: list[tuple[float, float]], **attributes: str | float) -> str:
    """A closed shape."""
    return element("polygon", points=" ".join(f"{number(x)},{number(y)}" for x, y in points), **attributes)


def label(
    x: float, y: float, text: str, size: float = 11, *, anchor: str = "middle", colour: str = INK, bold: bool = False
) -> str:
    """A line of text whose middle stands at the height y, with a paper-coloured rim that keeps it readable."""
    return element(
        "text",
        escape(text),
        x=x,
        y=y + 0.35 * size,
        font_size=size,
        text_anchor=anchor,
        fill=colour,
        stroke=PAPER,
        stroke_width=size / 4,
        stroke_linejoin="round",
        paint_order="stroke",
        font_weight="bold" if bold else "normal",
    )


def text_width(text: str, size: float) -> float:
    """Width that a text is taken to need."""
    return CHARACTER_WIDTH * size * len(text)


def shortened(text: str, width: float, size: float) -> str:
    """A text cut, with an ellipsis, to the width it may need."""
    most = int(width / text_width("x", size))
    return text if len(text) <= most else text[: most - 1] + "…"


def document(width: float, height: float, content: str, title: str, alt: str, definitions: str = "") -> str:
    """A standalone SVG with its title and its text alternative."""
    defs = element("defs", definitions) if definitions else ""
    sheet = element("rect", x=0.0, y=0.0, width=width, height=height, fill=PAPER)
    told = element("title", escape(title)) + element("desc", escape(alt))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(height)}" '
        f'width="{number(width)}" height="{number(height)}" role="img" aria-label="{escape(alt)}" '
        f'font-family="{escape(FONT)}">{told}{defs}{sheet}{content}</svg>'
    )


def picture(svg: str, alt: str) -> str:
    """SVG as an <img> with a text alternative.

    Inline <svg> is stripped from a notebook that is not trusted; an <img> with a data address is kept, prints as
    vectors, and asks nothing of the network.
    """
    data = base64.b64encode(svg.encode("utf-8")).decode("ascii")
    return f'<img src="data:image/svg+xml;base64,{data}" alt="{escape(alt)}" style="max-width:100%;height:auto">'
