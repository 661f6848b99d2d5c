"""Step lateral: the run from the transformer to the meter, in the ground or in the air."""
