"""The floor: what needs me now, and finding a unit by its last six."""
