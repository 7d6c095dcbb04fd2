"""The suspension layouts of the trade: named pivots become bodies, joints, measures.

One file per layout. A layout says which bodies there are, how they are joined, and gives its measures the names of
`naming`, so that nothing above needs to know which layout it looks at.
"""
