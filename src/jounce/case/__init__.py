"""A car, or a car with a job on it, worked out once: as found, as planned."""
