"""The workbench for programs: what pages and commands do, by address, in JSON and SI.

One table of operations (`table.OPERATIONS`) is all there is: it routes requests, checks what they bring, and writes the
OpenAPI document. Whatever is wrong comes back in one form, see `problems`.
"""
