"""Studies of a whole plan: many changed houses designed anew and compared."""
