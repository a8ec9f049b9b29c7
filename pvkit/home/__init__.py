"""Where every half-hour goes: demand, battery, car, hot water, grid."""
