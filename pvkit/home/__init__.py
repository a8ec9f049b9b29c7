"""Where every half-hour goes: demand, hot water, diverter, grid."""
