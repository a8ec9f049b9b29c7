"""Money and carbon over the years."""
