"""The process that stays: it keeps the mechanics in memory and lends a copy of itself to each later command."""
