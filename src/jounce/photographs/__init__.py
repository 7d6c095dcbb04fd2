"""Pivots from photographs: printed tiles found in pictures, the camera and every tile placed by one adjustment.

The libraries that open pictures and find tiles are an optional extra; only this room knows them.
"""
