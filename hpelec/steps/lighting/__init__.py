"""Step lighting: light levels, places with rules of their own, ceiling fans and the shadow of their blades."""
