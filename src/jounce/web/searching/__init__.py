"""The package search in the browser: what is asked, the work itself, what was found."""
