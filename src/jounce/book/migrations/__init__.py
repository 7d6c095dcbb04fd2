"""How a book of any released version becomes one of today's, step by step."""
