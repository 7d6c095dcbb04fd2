"""The parts shelf: what the shop has, what each part fits, in and out as TOML and CSV.

- `part`: what every part has, and `kinds/` what each kind of part has besides
- `shelf`: the parts by code; `parse`: entries of a file become parts, with all problems told at once
- `toml`, `csv_in`, `csv_out`, `file`: the files
- `fit/`: what a part lacks for a car or for another part, dimension by dimension
- `describe`: a part on the screen; `book_entries`: the shelf as the shop book keeps it
"""
