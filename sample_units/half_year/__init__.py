"""Half a year of the invented plant: planned from a seed, lived through the journal. Its key: docs/half_year.md."""
