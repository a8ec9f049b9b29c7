"""Light on each plane of the roof."""
