"""What the trade knows: kinds, limits, methods, outlines and rules, as pure Python over its own data files."""
