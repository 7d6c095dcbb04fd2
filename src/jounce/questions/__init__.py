"""Quick answers about a part, without a car: each number with its formula and where the formula comes from."""
