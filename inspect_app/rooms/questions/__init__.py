"""The inbox of questions: what needs a person's word, over all units, the oldest first."""
