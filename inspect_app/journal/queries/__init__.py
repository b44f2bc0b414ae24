"""Reading, by noun: rows of the projections shaped for pages and for the changes feed."""
