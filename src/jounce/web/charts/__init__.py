"""Vector pictures that the server draws: curves, prices, small drawings of a linkage."""
