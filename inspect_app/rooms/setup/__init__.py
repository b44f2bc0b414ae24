"""What a manager sets up: people, tablets, units."""
