"""Second methods: other ways to the same numbers, kept for comparison only."""
