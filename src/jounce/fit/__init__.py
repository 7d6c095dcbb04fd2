"""A measured car fitted to what a garage read: readings, the fit, how sure it makes the answers, what to read next."""
