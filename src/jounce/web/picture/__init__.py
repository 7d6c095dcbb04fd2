"""The moving picture: what it can be dragged through, and its frames."""
