"""The suspension layouts of the trade: named pivots become bodies, joints, measures.

One file per layout, told in the verbs of `builder`. A layout gives its measures the names of `naming`, so that nothing
above needs to know which layout it looks at. To add one: write its file and add it to `LAYOUTS` in `catalogue`.
"""
