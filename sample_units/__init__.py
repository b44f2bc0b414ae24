"""An invented plant: its people, its units, and the hands that work on them through the journal itself."""
