"""The car file: reading, writing, every problem with its line, ± and origin of each number."""
