"""The library for a notebook."""
