"""Electrical design and air-barrier planning for airtight all-electric houses.

Planning help, not a permit drawing: the adopted local code, the utility and licensed people decide.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from hpelec.plan import Plan, design, read_house

__all__ = ["Plan", "design", "read_house"]
__version__ = "0.2.0"


def __getattr__(name: str) -> Any:
    if name in __all__:
        import hpelec.plan

        return getattr(hpelec.plan, name)
    raise AttributeError(f"module 'hpelec' has no attribute {name!r}")
