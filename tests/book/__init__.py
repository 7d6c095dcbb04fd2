"""The shop book."""
