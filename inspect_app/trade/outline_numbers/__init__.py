"""The drawing of the van that comes with the product, and of others of its family."""
