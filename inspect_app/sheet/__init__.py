"""The signed sheet: what was found on a unit, what was done about it and who answers for it, as a PDF."""
