"""What a sensor recorded: read from its file, and what a shaken car tells by it."""
