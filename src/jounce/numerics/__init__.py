"""Mathematics without cars: rotations and the array types that all rooms share."""
