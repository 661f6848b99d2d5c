"""Step stages: temporary power while building, and the order in which loads move to the permanent service."""
