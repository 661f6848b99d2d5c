"""Step faults: fault current, grounding and bonding, surge, emergency disconnect, working space."""
