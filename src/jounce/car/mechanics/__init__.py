"""From the car document to mechanisms and elements."""
