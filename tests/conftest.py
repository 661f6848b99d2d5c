"""Laws try the same examples in every run, so that a run here and a run elsewhere see the same.

`HPELEC_EXPLORE=1` makes hypothesis try new ones: for finding faults, not for saying that all is well.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None)
settings.load_profile("explore" if os.environ.get("HPELEC_EXPLORE") else "same")
