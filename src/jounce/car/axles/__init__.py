"""The sections of a car file that describe an axle, layout by layout."""
