"""Step circuits: which outlets share a circuit, its breaker, cable and panel."""
