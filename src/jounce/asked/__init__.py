"""Questions in a person's own words: what was meant, with which amounts; the answer is the tool's own calculation."""
