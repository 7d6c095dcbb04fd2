"""Mathematics without cars: rotations, curves, space frames and the array types that all rooms share."""
