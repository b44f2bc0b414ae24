"""Browser modules shared by the rooms."""
