"""The invented demo car that `jounce example` writes."""
