"""The command line: one file per command; it reads words, calls the rooms below and prints."""
