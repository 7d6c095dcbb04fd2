"""What the program says in another language or in the house's own terms: phrase files, and the languages it comes with."""
