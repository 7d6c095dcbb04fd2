"""Questions in words."""
