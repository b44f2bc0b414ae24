"""Parts that are off their vans: the rack, each part's stages and label, clips, what is printed."""
