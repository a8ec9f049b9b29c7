"""From light to metered a.c.: modules, strings, inverter, cables and the loss stack."""
