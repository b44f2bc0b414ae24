"""Paint under inspection lamps, drawn: a surface in millimetres, lamps mirrored in it, and a camera that looks at it."""
