"""Layers of an assembly: what the material of one answers to in the sealing tables."""

from __future__ import annotations

from hpelec.core.tables import table

SURFACE_WORDS = {"ceiling": "airtight ceiling", "garage_wall": "garage wall"}


def layer_words(material: str, surface: str) -> tuple[str, ...]:
    """Words of the sealing tables that a layer's name answers to; empty when no word of it is known."""
    for row in table("air/layer_words"):
        if row.text("word") in f"{material.lower()} ":
            more = (SURFACE_WORDS[surface],) if surface in SURFACE_WORDS else ()
            return (row.text("family"), *(w for w in _listed(row.text("answers_to")) if w != row.text("family")), *more)
    return ()


def _listed(text: str) -> list[str]:
    return [word.strip() for word in text.split(";") if word.strip()]
