"""Gates, concessions, the signature and the sheet."""
