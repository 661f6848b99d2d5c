"""Rules that several steps apply: standard ratings, conductors. Knows only core."""
