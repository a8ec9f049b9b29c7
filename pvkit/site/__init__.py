"""The survey: what a person measured and chose, typed, checked and frozen."""
