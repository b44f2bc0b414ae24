"""Paint under inspection lamps, drawn: a surface in millimetres, lamps mirrored in it, a camera that looks at it."""
