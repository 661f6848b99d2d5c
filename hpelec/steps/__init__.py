"""The design steps. Each knows core and house, never another step; `hpelec.plan` says their order.

A step is a folder: `rules.py` (a pure function for each clause or formula), `model.py` (its frozen results),
`design.py` (`design(house, edition, *, earlier results)` -> its result).
"""
