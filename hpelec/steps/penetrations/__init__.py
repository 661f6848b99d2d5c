"""Step penetrations: every hole in the air barrier, derived from routes, boxes and luminaires."""
