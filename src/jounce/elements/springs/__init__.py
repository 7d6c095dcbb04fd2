"""Coil springs and stacks: rate, lengths, stress, laws of force."""
