"""Pivots from photographs, judged on photographs that these tests render themselves."""
