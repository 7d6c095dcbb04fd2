"""Vibration: modes, random roads, time histories, damper match."""
