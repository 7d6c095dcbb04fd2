"""A planned car under the hand: what can be moved on it, and tables that follow the hand with a known error."""
