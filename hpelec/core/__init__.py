"""Units, errors, findings, working and published tables: what knows nothing of houses."""
