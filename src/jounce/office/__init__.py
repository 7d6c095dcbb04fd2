"""The shop's day: how far each job has come, and the quotes that were handed over; kept in the book."""
