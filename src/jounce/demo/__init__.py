"""The invented demo files that `jounce example` writes: cars, one for each layout at least, and a job, a parts shelf."""
