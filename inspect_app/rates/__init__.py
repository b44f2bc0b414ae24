"""Rates of flaws, told with how sure one can be of them. Numbers in, numbers, words and drawings out."""
