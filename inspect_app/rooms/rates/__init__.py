"""Honest rates of defects by department."""
