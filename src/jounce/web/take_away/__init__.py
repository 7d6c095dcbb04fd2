"""A job as one file to take away: the moving picture, the numbers that matter, what was done; opened without a network."""
