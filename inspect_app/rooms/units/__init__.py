"""A unit: its card, its import, its history."""
