"""Places for labels on a drawing: the first candidate that hits nothing, else the one that hits least."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

Box = tuple[float, float, float, float]
"""x0, y0, x1, y1."""

_CELL = 40.0


@dataclass
class Sheet:
    """The area of a drawing and what is already taken on it."""

    width: float
    height: float
    _cells: dict[tuple[int, int], list[Box]] = field(default_factory=lambda: defaultdict(list))

    def take(self, box: Box) -> None:
        """Mark an area as used."""
        for cell in _cells_of(box):
            self._cells[cell].append(box)

    def take_stroke(self, x0: float, y0: float, x1: float, y1: float, width: float) -> None:
        """Mark a straight stroke as used (a slanted one in short pieces)."""
        pieces = 1 if x0 == x1 or y0 == y1 else max(1, int(max(abs(x1 - x0), abs(y1 - y0)) / 6))
        for i in range(pieces):
            xs = sorted((x0 + (x1 - x0) * i / pieces, x0 + (x1 - x0) * (i + 1) / pieces))
            ys = sorted((y0 + (y1 - y0) * i / pieces, y0 + (y1 - y0) * (i + 1) / pieces))
            self.take((xs[0] - width / 2, ys[0] - width / 2, xs[1] + width / 2, ys[1] + width / 2))

    def hit(self, box: Box) -> float:
        """Area of `box` that is taken (counted twice where two things lie)."""
        near = {other for cell in _cells_of(box) for other in self._cells.get(cell, ())}
        return sum(_common(box, other) for other in near)

    def find(
        self, width: float, height: float, centres: Iterable[tuple[float, float]]
    ) -> tuple[tuple[float, float], float]:
        """Centre for a label of this size, kept on the sheet, and the taken area that it hits there."""
        best, least = (self.width / 2, self.height / 2), float("inf")
        for wanted in centres:
            x = min(max(wanted[0], width / 2), self.width - width / 2)
            y = min(max(wanted[1], height / 2), self.height - height / 2)
            hit = self.hit(_box(x, y, width, height))
            if hit < least:
                best, least = (x, y), hit
            if hit == 0:
                break
        return best, least

    def place(self, width: float, height: float, centres: Iterable[tuple[float, float]]) -> tuple[float, float]:
        """Centre for a label of this size, marked as taken. `centres` in order of preference."""
        best, _ = self.find(width, height, centres)
        self.take(_box(*best, width, height))
        return best


def around(x: float, y: float, reach_x: float, reach_y: float, *, rings: int = 8) -> Iterator[tuple[float, float]]:
    """Places round a point, near ones first: beside, below, above, then the corners, ring by ring."""
    ways = ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1))
    for ring in range(rings):
        grow = 9.0 * ring
        for dx, dy in ways:
            yield x + dx * (reach_x + grow), y + dy * (reach_y + grow)


def _box(x: float, y: float, width: float, height: float) -> Box:
    return (x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _common(a: Box, b: Box) -> float:
    wide = min(a[2], b[2]) - max(a[0], b[0])
    high = min(a[3], b[3]) - max(a[1], b[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def _cells_of(box: Box) -> Iterator[tuple[int, int]]:
    for i in range(int(box[0] // _CELL), int(box[2] // _CELL) + 1):
        for j in range(int(box[1] // _CELL), int(box[3] // _CELL) + 1):
            yield i, j
