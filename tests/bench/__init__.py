"""The bench: each claim about speed as a ratio against a bare floor in the same run. `make bench` runs all of it."""
