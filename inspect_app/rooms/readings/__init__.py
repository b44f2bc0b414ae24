"""Readings at the van: taken, judged with their number, and what they lead to."""
