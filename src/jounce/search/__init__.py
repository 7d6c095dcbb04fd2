"""The package search: every combination of parts on the shelf, judged by goals and hard limits.

How it stays quick and exact. All packages are judged at the wanted heights, where springs are set. So geometry is one
table for all, and what parts push adds up. The car then falls into two halves that meet only in the body's roll: each
axle variant's roll moment is worked out once over roll and lateral acceleration (`roll_curves`), and a pair of variants
needs no more than the roll at which both balance the body (`pairs`). `whole_car_check` reads the same numbers of a
package worked out as a job, and `proof` tells only what was worked out. In reading order: `goals`, `slots`,
`axle_space`, `variants`, `roll_curves`, `pairs`, `run`, `proof`.
"""
