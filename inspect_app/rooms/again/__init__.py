"""The second look at what was reworked."""
