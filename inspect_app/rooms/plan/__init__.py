"""The plan of a unit: spots or the whole part, one booth visit or none, accepted into jobs."""
