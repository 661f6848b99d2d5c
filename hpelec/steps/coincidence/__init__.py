"""The step coincidence: what really runs together, how often, and how long."""
