"""Step airtightness: what the holes leak, unsealed and sealed, against the target in its own metric."""
