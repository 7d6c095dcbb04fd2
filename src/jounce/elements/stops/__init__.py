"""Bump stops and droop stops."""
